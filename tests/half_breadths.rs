//! Half-breadths, judged: what is found in tables of random fair decks with and without a mistake, and what a deck given
//! by its two sides becomes.

#[path = "half_breadths/simulated.rs"]
mod simulated;

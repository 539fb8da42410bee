//! Points from ties: the adjustment against closed forms, a general-purpose library and simulation, and what it
//! says of a tape misread.

mod network;
mod simulation;

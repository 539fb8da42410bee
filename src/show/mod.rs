//! A page to look at a layout and work in it, served to one browser on the same machine. Comes in: a layout file, and what
//! the commands can make of one ([`Maker`]). Goes out: an address; then, request by request, what the stages before this one
//! say of a text. Nothing here measures a deck: a request's text goes the way of any layout, and its answer is written as JSON.
//!
//! - `desk`: what can be asked, and the answers; it knows no network.
//! - `saving`: the file written anew, whole or not at all, and never over somebody else's changes.
//! - `watch`: what another program does to the file.
//! - `guard`: who may ask.
//! - `room`: how many at once.
//! - `routes`, `server`: addresses, sockets.

mod answer;
mod asked;
mod desk;
mod guard;
mod page;
mod room;
mod routes;
mod saving;
mod server;
mod watch;

pub use desk::{Made, MadeFile, Maker, Offer, Option as OfferOption, OptionKind};
pub use saving::{Disk, RealDisk, SaveFault, save_over};
pub use server::{Serving, serve};

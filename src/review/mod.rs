//! A person's last word: a page on this machine in which a list is put right, each change saved at once.
//!
//! [`Server`] answers a browser on the loopback address and nobody else; [`Desk`] is the list on which it works.
//! The page's own files lie in `page/` and are built in.

mod change;
mod choices;
mod desk;
mod file;
mod guard;
mod http;
mod media;
mod server;
mod view;

pub use change::{Change, Done};
pub use choices::choices;
pub use desk::{Desk, DeskError};
pub use file::{Clock, FileDesk};
pub use media::Media;
pub use server::{ServeError, Server, Stop};

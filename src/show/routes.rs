//! Which address means what. Comes in: a method, a path behind the word in the address, a body. Goes out: a reply. No part of
//! a path is ever the name of a file on the disk.

use super::desk::{Desk, Reply};
use super::page;

/// What is asked, the body still to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Route<'a> {
    Page(page::Name),
    File,
    /// Wait until the file is another than this version.
    Changes(u64),
    Made(&'a str),
    Post(Post),
}

/// What is asked with a body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Post {
    Work,
    Form,
    Save,
    Offers,
    Make,
    Begin,
}

/// Finds the route; nothing where there is none.
pub(super) fn route<'a>(method: &str, rest: &'a str, query: &str) -> Option<Route<'a>> {
    match method {
        "GET" => match rest {
            "file" => Some(Route::File),
            "changes" => query
                .strip_prefix("after=")?
                .parse()
                .ok()
                .map(Route::Changes),
            rest => match rest.strip_prefix("made/") {
                Some(which) => Some(Route::Made(which)),
                None => page::named(rest).map(Route::Page),
            },
        },
        "POST" => Some(Route::Post(match rest {
            "work" => Post::Work,
            "form" => Post::Form,
            "save" => Post::Save,
            "offers" => Post::Offers,
            "make" => Post::Make,
            "begin" => Post::Begin,
            _ => return None,
        })),
        _ => None,
    }
}

/// Answers what came with a body.
pub(super) fn answer(desk: &Desk, post: Post, body: &[u8]) -> Reply {
    let reply = match post {
        Post::Work => desk.work(body),
        Post::Form => desk.form(body),
        Post::Save => desk.save(body),
        Post::Offers => desk.offers(body),
        Post::Make => desk.make(body),
        Post::Begin => desk.begin(body),
    };
    reply.unwrap_or_else(|refused| refused)
}

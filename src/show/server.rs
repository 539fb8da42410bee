//! The server: one thread that waits for requests on the loopback address, others that work them out. Comes in: sockets. Goes
//! out: replies, each with the policy that keeps the page to itself. What is too large, too slow or from elsewhere is refused
//! before anything is read of it.

use std::convert::Infallible;
use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use http_body_util::{BodyExt, Full, LengthLimitError, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::header::{HeaderMap, HeaderName};
use hyper::http::uri::Authority;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::TcpListener;
use tokio::time::timeout;

use super::desk::{Desk, Maker, Reply};
use super::guard::{Asking, Guard, Token};
use super::room::{Busy, Room};
use super::routes::{self, Post, Route};

/// The largest body that is read: a layout of many thousand fittings, and its edits.
const MOST_BODY: usize = 8 << 20;
/// The longest head of a request.
const MOST_HEAD: usize = 16 << 10;
/// As long as a head may take to come, and a body.
const PATIENCE: Duration = Duration::from_secs(10);
/// As long as a request for changes waits before it is asked again.
const WAIT: Duration = Duration::from_secs(20);
/// Requests that are worked out at once.
const AT_ONCE: usize = 2;

/// A server that is about to answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Serving<'a> {
    /// The address to open, its secret word in it.
    pub address: &'a str,
}

/// Shows the layout at `path` until the process ends; `begun` is told the address before the first request is answered.
///
/// # Errors
/// Where no port can be had.
pub fn serve(
    path: &Path,
    port: u16,
    maker: Box<dyn Maker>,
    begun: impl FnOnce(Serving<'_>),
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .max_blocking_threads(AT_ONCE)
        .build()?;
    runtime.block_on(async {
        let listener = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await?;
        let token = Token::new().map_err(io::Error::other)?;
        let guard = Guard {
            token,
            port: listener.local_addr()?.port(),
        };
        let address = format!("http://127.0.0.1:{}/{}/", guard.port, guard.token.word());
        begun(Serving { address: &address });
        accept(listener, guard, Arc::new(Desk::new(path, maker))).await
    })
}

async fn accept(listener: TcpListener, guard: Guard, desk: Arc<Desk>) -> io::Result<()> {
    let room = Room::default();
    let guard = Arc::new(guard);
    loop {
        let Ok((socket, _)) = listener.accept().await else {
            // Too many files are open, or the like: it may be better in a moment.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let busy = Busy::default();
        let (guard, desk, own) = (Arc::clone(&guard), Arc::clone(&desk), busy.clone());
        let connection = tokio::spawn(async move {
            let service = service_fn(move |request| {
                let (guard, desk, busy) = (Arc::clone(&guard), Arc::clone(&desk), own.clone());
                async move { Ok::<_, Infallible>(respond(request, &guard, &busy, desk).await) }
            });
            // Whoever goes away in the middle has gone; there is nobody to tell.
            let _ = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(PATIENCE)
                .max_buf_size(MOST_HEAD)
                .serve_connection(TokioIo::new(socket), service)
                .await;
        });
        room.take_in(connection.abort_handle(), busy);
    }
}

async fn respond(
    request: Request<Incoming>,
    guard: &Guard,
    busy: &Busy,
    desk: Arc<Desk>,
) -> Response<Full<Bytes>> {
    let (head, body) = request.into_parts();
    let asking = Asking {
        path: head.uri.path(),
        named: head.uri.authority().map(Authority::as_str),
        host: text_of(&head.headers, "host"),
        origin: text_of(&head.headers, "origin"),
        site: text_of(&head.headers, "sec-fetch-site"),
    };
    let Some(rest) = guard.admitted(asking) else {
        return written(Reply::trouble(403, "open the address that spile printed"));
    };
    let _answering = busy.begin();
    let query = head.uri.query().unwrap_or_default();
    let Some(route) = routes::route(head.method.as_str(), rest, query) else {
        return written(Reply::trouble(404, "there is nothing here"));
    };
    written(match route {
        Route::Page(name) => page_file(name),
        Route::File => desk.file(&desk.watched.seen()),
        Route::Made(which) => desk.made(which).unwrap_or_else(|gone| gone),
        Route::Changes(version) => match timeout(WAIT, desk.watched.after(version)).await {
            Ok(seen) => desk.file(&seen),
            Err(_) => desk.file(&desk.watched.seen()),
        },
        Route::Post(post) => posted(post, body, &head.headers, desk).await,
    })
}

/// Works out what came with a body, on a thread of its own.
async fn posted(post: Post, body: Incoming, headers: &HeaderMap, desk: Arc<Desk>) -> Reply {
    // A form of another page cannot say this.
    if text_of(headers, "content-type") != Some("application/json") {
        return Reply::trouble(415, "a request is JSON");
    }
    let body = match timeout(PATIENCE, Limited::new(body, MOST_BODY).collect()).await {
        Err(_) => return Reply::trouble(408, "the request took too long"),
        Ok(Err(error)) if error.is::<LengthLimitError>() => {
            return Reply::trouble(413, "the request is too large");
        }
        Ok(Err(_)) => return Reply::trouble(400, "the request broke off"),
        Ok(Ok(body)) => body.to_bytes(),
    };
    let worked = tokio::task::spawn_blocking(move || routes::answer(&desk, post, &body)).await;
    worked.unwrap_or_else(|_| Reply::trouble(500, "spile failed at this; the layout is unharmed"))
}

fn text_of<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?;
    // Said twice it is not said at all, but neither may it be overlooked.
    match all.next() {
        None => Some(first.to_str().unwrap_or("unreadable")),
        Some(_) => Some("said twice"),
    }
}

fn page_file(name: super::page::Name) -> Reply {
    let file = name.file();
    Reply {
        status: 200,
        mime: file.mime.to_owned(),
        bytes: file.text.as_bytes().to_vec(),
        name: None,
    }
}

/// What stands above every reply: nothing of it is kept, framed, guessed at or sent elsewhere.
const HEADERS: [(HeaderName, &str); 7] = [
    (
        hyper::header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; \
         base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    ),
    (hyper::header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (hyper::header::REFERRER_POLICY, "no-referrer"),
    (hyper::header::CACHE_CONTROL, "no-store"),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=()",
    ),
];

fn written(reply: Reply) -> Response<Full<Bytes>> {
    let mut response = Response::builder()
        .status(reply.status)
        .header(hyper::header::CONTENT_TYPE, reply.mime);
    for (name, value) in HEADERS {
        response = response.header(name, value);
    }
    if let Some(name) = reply.name {
        response = response.header(
            hyper::header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{}\"", plain(&name)),
        );
    }
    response
        .body(Full::new(Bytes::from(reply.bytes)))
        .unwrap_or_else(|_| Response::new(Full::new(Bytes::new())))
}

/// A name of plain letters, so that no header is broken by it.
fn plain(name: &str) -> String {
    let is_plain = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '-' | '_' | '.');
    name.chars()
        .map(|sign| if is_plain(sign) { sign } else { '-' })
        .collect()
}

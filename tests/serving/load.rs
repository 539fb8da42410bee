//! What is too large is not held, what is too slow is not waited for, and whoever opens many connections keeps nobody out.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::json;
use tempfile::TempDir;

use crate::program::{Answer, LAYOUT, Served};

/// As long as the program waits for the rest of a request, and what a busy machine may add.
const PATIENCE: Duration = Duration::from_secs(10 + 8);
/// As long as the page may be without an answer.
const SOON: Duration = Duration::from_secs(2);
/// The largest body that is taken.
const MOST_BODY: usize = 8 << 20;

fn served() -> (TempDir, Served) {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    (folder, served)
}

fn answers_soon(served: &Served) {
    let begun = Instant::now();
    let answer = served.post("work", &json!({ "text": LAYOUT }));
    assert_eq!(answer.status, 200);
    assert!(begun.elapsed() < SOON, "{:?}", begun.elapsed());
}

/// Sends `head`, then as much of `megabytes` as is taken, each between `before` and `after`.
fn offer(
    served: &Served,
    head: &str,
    megabytes: usize,
    [before, after]: [&str; 2],
) -> Option<Answer> {
    let mut socket = served.connect();
    socket.write_all(head.as_bytes()).expect("a head is taken");
    let mut hears = socket.try_clone().expect("a second handle");
    let hearing = thread::spawn(move || Answer::heard(&mut hears));
    let piece = [before.as_bytes(), &vec![b' '; 1 << 20], after.as_bytes()].concat();
    for _ in 0..megabytes {
        if socket.write_all(&piece).is_err() {
            break;
        }
    }
    hearing.join().expect("it hears")
}

#[test]
#[cfg(target_os = "linux")]
fn a_body_of_200_megabytes_is_refused_and_not_held() {
    /// The largest body, once as it came and once put together, and as much again for an allocator's pages.
    const MOST_GROWTH: u64 = 3 * MOST_BODY as u64;
    let (_folder, served) = served();
    served.post("work", &json!({ "text": LAYOUT }));
    let before = served.most_memory();
    let kind = "Content-Type: application/json\r\n";
    let length = format!("Content-Length: {}\r\n\r\n", 200 << 20);
    let chunked = "Transfer-Encoding: chunked\r\n\r\n";
    let pieces = ["100000\r\n", "\r\n"];
    for what in ["work", "save", "make", "begin"] {
        let head = served.head("POST", &served.at(what));
        let offered = [
            (format!("{head}{kind}{length}"), ["", ""]),
            (format!("{head}{kind}{chunked}"), pieces),
        ];
        for (head, around) in offered {
            let answer = offer(&served, &head, 200, around);
            // The answer may be lost where the connection is closed on what was still being sent.
            let status = answer.map(|answer| answer.status);
            assert!(matches!(status, None | Some(413)), "{what}: {status:?}");
            let held = served.most_memory().saturating_sub(before);
            assert!(held < MOST_GROWTH, "{what}: {held} bytes more");
        }
    }
    // Without the word in the address nothing of it is read.
    let head = served.head("POST", "/work");
    let answer = offer(&served, &format!("{head}{kind}{length}"), 200, ["", ""]);
    let status = answer.map(|answer| answer.status);
    assert!(matches!(status, None | Some(403)), "{status:?}");
    let held = served.most_memory().saturating_sub(before);
    println!("200 MB offered 9 times: {held} bytes more were held at most");
    assert!(held < MOST_GROWTH, "{held} bytes more");
    answers_soon(&served);
}

#[test]
fn a_body_in_pieces_is_put_together_and_one_that_breaks_off_does_nothing() {
    let (folder, served) = served();
    let layout = folder.path().join("dinghy.toml");
    let head = served.head("POST", &served.at("work"));
    let kind = "Content-Type: application/json\r\n";
    let body = json!({ "text": LAYOUT }).to_string();
    let mut pieces = String::new();
    for piece in body.as_bytes().chunks(7) {
        let piece = std::str::from_utf8(piece).expect("plain letters");
        pieces += &format!("{:x};note=x\r\n{piece}\r\n", piece.len());
    }
    let chunked = format!("{head}{kind}Transfer-Encoding: chunked\r\n\r\n{pieces}0\r\n\r\n");
    let answer = served.send(chunked.as_bytes()).expect("it is answered");
    assert_eq!(answer.status, 200);
    let text = LAYOUT.replace("40", "50");
    let save = json!({ "text": text, "over": served.version() }).to_string();
    let whole = served.posted("save", &save);
    // All that lacks is the last sign.
    for length in (0..whole.len()).step_by(9).chain([whole.len() - 1]) {
        let answer = served.send_all(&whole[..length]);
        let status = answer.map(|answer| answer.status);
        assert!(!matches!(status, Some(200)), "{length} bytes");
    }
    let broken = [
        "fffffffffffffffff\r\n",
        "-1\r\n{}",
        "2\r\n{}",
        "2\r\n{}x\r\n0\r\n\r\n",
        "zz\r\n{}\r\n0\r\n\r\n",
        "2\n{}\n0\n\n",
    ];
    for pieces in broken {
        let request = format!("{head}{kind}Transfer-Encoding: chunked\r\n\r\n{pieces}");
        let status = served.send_all(request.as_bytes());
        let status = status.map(|answer| answer.status);
        assert!(!matches!(status, Some(200)), "{pieces:?}");
    }
    assert_eq!(fs::read_to_string(layout).expect("it stands"), LAYOUT);
    answers_soon(&served);
}

#[test]
fn one_body_does_not_hide_another_request() {
    let (_folder, served) = served();
    let hidden = served.posted("save", &json!({ "text": "spoilt", "over": 1 }).to_string());
    let hidden = String::from_utf8(hidden).expect("plain letters");
    let port = served.port;
    // Two lengths (RFC 9112, 6.3): where a server takes one and another takes the other, a second request slips through.
    let both = format!(
        "POST /x HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"
    );
    let odd = both
        .replace("Content-Length: 5\r\n", "")
        .replace("chunked", "chunked, identity");
    for first in [both, odd] {
        let heard = served
            .send_all(format!("{first}{}", hidden.replace("over\":1", "over\":99")).as_bytes());
        assert!(!matches!(heard.map(|answer| answer.status), Some(200)));
    }
    assert_eq!(served.get("file").json()["text"], LAYOUT);
}

#[test]
fn who_is_slow_is_not_waited_for() {
    let (_folder, served) = served();
    let begun = Instant::now();
    let own = format!("Host: 127.0.0.1:{}\r\n", served.port);
    let long = format!(
        "{}Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{{",
        served.head("POST", &served.at("save"))
    );
    let kept = format!("GET {} HTTP/1.1\r\n{own}\r\n", served.at("main.js"));
    // What is said at once, what every half second after, and what is heard in the end.
    let slow = [
        (String::new(), "", None),
        ("GET ".to_owned(), "", None),
        (format!("GET / HTTP/1.1\r\n{own}"), "", None),
        (format!("GET / HTTP/1.1\r\n{own}"), "X: y\r\n", None),
        (kept, "", Some(200)),
        (long.clone(), "", Some(408)),
        (long, " ", Some(408)),
    ];
    let slow: Vec<_> = slow
        .into_iter()
        .map(|(first, then, expected)| {
            let socket = served.connect();
            thread::spawn(move || (endured(socket, &first, then), expected, first, then))
        })
        .collect();
    for one in slow {
        let (heard, expected, first, then) = one.join().expect("it hears");
        let status = heard.map(|answer| answer.status);
        // A head that does not come may be told so.
        let is_told = expected.is_none() && status == Some(408);
        assert!(
            status == expected || is_told,
            "{status:?}: {first:?} {then:?}"
        );
    }
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
    answers_soon(&served);
}

/// Says something at once and something ever after, until the connection is closed.
fn endured(socket: TcpStream, first: &str, then: &'static str) -> Option<Answer> {
    let mut says = socket.try_clone().expect("a second handle");
    says.write_all(first.as_bytes()).expect("it is taken");
    if !then.is_empty() {
        thread::spawn(move || {
            while says.write_all(then.as_bytes()).is_ok() {
                thread::sleep(Duration::from_millis(500));
            }
        });
    }
    let mut socket = socket;
    Answer::heard(&mut socket)
}

#[test]
fn a_short_question_has_no_endless_answer() {
    let (_folder, served) = served();
    let of = |count: usize| {
        let ways = vec!["deck.#1"; count];
        served.post("form", &json!({ "text": LAYOUT, "ways": ways }))
    };
    assert_eq!(of(4).status, 200);
    let endless = of(100_000);
    assert_eq!(endless.status, 400, "{} bytes", endless.body.len());
}

#[test]
fn two_hundred_connections_on_which_nothing_is_said_keep_nobody_out() {
    let (_folder, served) = served();
    let says = ["", "GET / HTTP/1.1\r\n", "POST /"];
    let mut silent = Vec::new();
    for number in 0..200 {
        let mut socket = served.connect();
        let said = says[number % says.len()];
        socket.write_all(said.as_bytes()).expect("it is taken");
        silent.push(socket);
        if number % 50 == 49 {
            answers_soon(&served);
        }
    }
    answers_soon(&served);
    // The newest are still open, the oldest gave way to them.
    let is_closed = |socket: &mut TcpStream| {
        let soon = Some(Duration::from_millis(200));
        socket.set_read_timeout(soon).expect("a timeout");
        match socket.read(&mut [0]) {
            Ok(count) => count == 0,
            Err(error) => error.kind() == std::io::ErrorKind::ConnectionReset,
        }
    };
    assert!(is_closed(&mut silent[0]));
    assert!(!is_closed(&mut silent[199]));
}

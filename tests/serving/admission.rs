//! Who is let in: this page on this machine, by the word in its address. What stands above every answer keeps it to itself.

use std::fs;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpStream, UdpSocket};
use std::time::Duration;

use serde_json::json;
use tempfile::TempDir;

use crate::program::{Answer, LAYOUT, Served};

fn served() -> (TempDir, Served) {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    (folder, served)
}

/// Where a port is listened at, as the kernel writes addresses in a table (proc_net_tcp: state 0A is listening).
#[cfg(target_os = "linux")]
fn listening(table: &str, port: u16) -> Vec<String> {
    let port = format!("{port:04X}");
    let lines = fs::read_to_string(table).expect("the kernel keeps a table");
    lines
        .lines()
        .filter_map(|line| {
            let columns: Vec<&str> = line.split_whitespace().collect();
            let (address, its_port) = columns.get(1)?.split_once(':')?;
            (its_port == port && columns.get(3) == Some(&"0A")).then(|| address.to_owned())
        })
        .collect()
}

#[test]
#[cfg(target_os = "linux")]
fn it_listens_to_this_machine_alone() {
    let (_folder, served) = served();
    // 127.0.0.1, its bytes turned round.
    assert_eq!(listening("/proc/net/tcp", served.port), ["0100007F"]);
    if fs::exists("/proc/net/tcp6").expect("it can be asked for") {
        assert!(listening("/proc/net/tcp6", served.port).is_empty());
    }
    let mut others = vec![
        IpAddr::from(Ipv6Addr::LOCALHOST),
        IpAddr::from([127, 0, 0, 2]),
    ];
    // The address this machine would speak from to one that is kept for documents (RFC 5737); nothing is sent.
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).expect("a socket");
    if socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).is_ok() {
        others.push(socket.local_addr().expect("it has one").ip());
    }
    for other in others {
        let there = SocketAddr::new(other, served.port);
        let answered = TcpStream::connect_timeout(&there, Duration::from_secs(2));
        assert!(answered.is_err(), "{other} answers");
    }
}

/// A request for the file with these lines after its first, and a target.
fn asked(target: &str, lines: &[String]) -> Vec<u8> {
    let lines: String = lines.iter().map(|line| format!("{line}\r\n")).collect();
    format!("GET {target} HTTP/1.1\r\n{lines}Connection: close\r\n\r\n").into_bytes()
}

#[test]
fn whoever_is_not_the_page_is_refused_and_told_nothing() {
    let (_folder, served) = served();
    let port = served.port;
    let own = format!("Host: 127.0.0.1:{port}");
    let file = served.at("file");
    let with = |line: &str| asked(&file, &[own.clone(), line.to_owned()]);
    let hosted = |host: &str| asked(&file, &[format!("Host: {host}")]);
    let at = |target: &str| asked(target, std::slice::from_ref(&own));
    let turned: String = served.token.chars().rev().collect();
    let shorter = &served.token[1..];
    // So that the rest is not refused for being no request at all.
    assert_eq!(
        served.send(&at(&file)).map(|answer| answer.status),
        Some(200)
    );
    let refused = [
        hosted("pilots.example"),
        hosted(&format!("pilots.example:{port}")),
        hosted("127.0.0.1"),
        hosted(&format!("127.0.0.1:{}", port ^ 1)),
        hosted(&format!("127.0.0.1:{port}.pilots.example")),
        hosted(&format!("127.0.0.1:{port}@pilots.example")),
        hosted(&format!("127.1:{port}")),
        hosted(&format!("0.0.0.0:{port}")),
        hosted(&format!("[::1]:{port}")),
        hosted(""),
        asked(&file, &[]),
        asked(&file, &[own.clone(), own.clone()]),
        asked(&file, &[own.clone(), "Host: pilots.example".to_owned()]),
        with("Origin: http://pilots.example"),
        with(&format!("Origin: https://127.0.0.1:{port}")),
        with(&format!("Origin: http://127.0.0.1:{}", port ^ 1)),
        with(&format!("Origin: http://127.0.0.1:{port}.pilots.example")),
        with("Origin: null"),
        with("Origin: "),
        with("Origin: \u{e9}"),
        with(&format!(
            "Origin: http://127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}"
        )),
        with("Sec-Fetch-Site: cross-site"),
        with("Sec-Fetch-Site: same-site"),
        with("Sec-Fetch-Site: same-origin\r\nSec-Fetch-Site: same-origin"),
        with("Sec-Fetch-Site: anything"),
        at("/"),
        at("/file"),
        at("//file"),
        at(&format!("/{turned}/file")),
        at(&format!("/{shorter}/file")),
        at(&format!("/{}0/file", served.token)),
        at(&format!("/{}", served.token)),
        at(&format!("/{}/file", served.token.to_uppercase())),
        at(&format!("/x/{}/file", served.token)),
        at(&format!("//{}/file", served.token)),
        at(&format!("/?{}/file", served.token)),
        at(&format!("/%2e/{}/file", served.token)),
        at(&format!("http://127.0.0.1:{port}{file}")),
        at(&format!("http://pilots.example{file}")),
        at("*"),
    ];
    for request in refused {
        let shown = String::from_utf8_lossy(&request).into_owned();
        let answer = served.send(&request).expect("a refusal is an answer");
        assert_eq!(answer.status, 403, "{shown}");
        assert_eq!(
            answer.json(),
            json!({ "trouble": "open the address that spile printed" }),
            "{shown}"
        );
        keeps_to_itself(&answer, &shown);
    }
}

#[test]
fn the_page_is_let_in_under_either_name_of_this_machine() {
    let (_folder, served) = served();
    for host in ["127.0.0.1", "localhost"] {
        let host = format!("{host}:{}", served.port);
        let lines = [
            format!("Host: {host}"),
            format!("Origin: http://{host}"),
            "Sec-Fetch-Site: same-origin".to_owned(),
        ];
        let answer = served.send(&asked(&served.at("file"), &lines));
        assert_eq!(answer.map(|answer| answer.status), Some(200), "{host}");
    }
}

#[test]
fn only_json_is_taken_as_a_question() {
    let (_folder, served) = served();
    let body = json!({ "text": "spoilt", "over": 1 }).to_string();
    let kinds = [
        "",
        "Content-Type: text/plain\r\n",
        "Content-Type: application/x-www-form-urlencoded\r\n",
        "Content-Type: multipart/form-data; boundary=x\r\n",
        "Content-Type: text/plain; application/json\r\n",
        "Content-Type: application/json\r\nContent-Type: application/json\r\n",
        "Content-Type: application/json\r\nContent-Type: text/plain\r\n",
    ];
    for kind in kinds {
        let head = served.head("POST", &served.at("save"));
        let length = body.len();
        let request = format!("{head}{kind}Content-Length: {length}\r\n\r\n{body}");
        let answer = served.send(request.as_bytes()).expect("it is answered");
        assert_eq!(answer.status, 415, "{kind:?}");
        keeps_to_itself(&answer, kind);
    }
    assert_eq!(served.get("file").json()["text"], LAYOUT);
}

#[test]
fn every_answer_keeps_the_page_to_itself() {
    let (_folder, served) = served();
    let version = served.version();
    let method = |method: &str, what: &str| {
        let head = served.head(method, &served.at(what));
        served.send(format!("{head}\r\n").as_bytes())
    };
    let work = json!({ "text": LAYOUT });
    let make = json!({ "text": LAYOUT, "output": "takeoff", "options": [["format", "md"]] });
    let made = served.post("make", &make);
    let at = made.json()["files"][0]["at"].as_str().map(str::to_owned);
    let at = at.expect("something was made");
    let preflight = format!(
        "{}Origin: http://pilots.example\r\nAccess-Control-Request-Method: POST\r\n\r\n",
        served.head("OPTIONS", &served.at("save"))
    );
    let own_preflight = preflight.replace(
        "http://pilots.example",
        &format!("http://127.0.0.1:{}", served.port),
    );
    let answers = [
        (200, Some(served.get(""))),
        (200, Some(served.get("main.js"))),
        (200, Some(served.get("page.css"))),
        (200, Some(served.get("icon.svg"))),
        (200, Some(served.get("file"))),
        (200, Some(served.get("changes?after=0"))),
        (200, Some(served.get(&at))),
        (200, Some(served.post("work", &work))),
        (200, Some(served.post("offers", &work))),
        (200, Some(made)),
        (404, Some(served.get("nothing"))),
        (404, Some(served.get("made/0/0"))),
        (404, Some(served.get("changes"))),
        (404, Some(served.get("changes?after=-1"))),
        (404, method("PUT", "file")),
        (404, method("DELETE", "file")),
        (404, method("PATCH", "save")),
        (404, method("TRACE", "file")),
        (404, method("HEAD", "file")),
        (404, method("get", "file")),
        (404, method("OPTIONS", "save")),
        (404, method("GET", "save")),
        (404, method("POST", "file")),
        (403, served.send(preflight.as_bytes())),
        (404, served.send(own_preflight.as_bytes())),
        (415, method("POST", "save")),
        (400, Some(served.post_text("work", "{"))),
        (
            413,
            Some(served.post_text("work", &" ".repeat((8 << 20) + 1))),
        ),
    ];
    for (number, (status, answer)) in answers.into_iter().enumerate() {
        let answer = answer.unwrap_or_else(|| unreachable!("no answer to {number}"));
        assert_eq!(answer.status, status, "{number}: {}", answer.text());
        keeps_to_itself(&answer, &number.to_string());
    }
    let changed = served.save("other", version + 1);
    assert!(changed.is_refused_for_a_change(), "{}", changed.text());
    keeps_to_itself(&changed, "a save over another version");
    let unmade = served.post("make", &json!({ "text": LAYOUT, "output": "x" }));
    assert!(unmade.is_trouble(), "{}", unmade.text());
    keeps_to_itself(&unmade, "an output that there is not");
    assert_eq!(served.version(), version);
}

#[test]
fn what_is_no_request_is_answered_with_nothing_of_ours() {
    let (_folder, served) = served();
    let file = served.at("file");
    let own = format!("Host: 127.0.0.1:{}", served.port);
    let bodied = served.head("POST", &served.at("work"));
    let requests = [
        "\r\n\r\n".repeat(20),
        "GET\r\n\r\n".to_owned(),
        format!("GET {file} HTTP/9.9\r\n{own}\r\n\r\n"),
        format!("GET {file}\r\n\r\n"),
        format!("GET {file} HTTP/1.1\r\n{own}\r\nbroken\r\n\r\n"),
        format!("GET {file} HTTP/1.1\r\n{own}\r\na\0b: c\r\n\r\n"),
        format!("GET {file}\0 HTTP/1.1\r\n{own}\r\n\r\n"),
        format!("GET {} HTTP/1.1\r\n{own}\r\n\r\n", "/".repeat(70_000)),
        format!(
            "GET {file} HTTP/1.1\r\n{own}\r\nx: {}\r\n\r\n",
            "y".repeat(20_000)
        ),
        format!(
            "GET {file} HTTP/1.1\r\n{own}\r\n{}\r\n",
            "x: y\r\n".repeat(2_000)
        ),
        format!("{bodied}Content-Length: 1\r\nContent-Length: 2\r\n\r\n{{"),
        format!("{bodied}Content-Length: -1\r\n\r\n"),
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_owned(),
        "\u{16}\u{3}\u{1}\u{2}\0\u{1}\0\u{1}\u{fc}".to_owned(),
    ];
    for request in requests {
        let answer = served.send_all(request.as_bytes());
        let shown: String = request.chars().take(120).collect();
        if let Some(answer) = answer {
            assert!((400..500).contains(&answer.status), "{shown}");
            assert!(answer.body.is_empty(), "{shown}: {}", answer.text());
        }
    }
    assert_eq!(served.get("file").status, 200);
}

/// Nothing of it is kept, framed, guessed at, handed to another page or sent elsewhere (W3C: CSP 3, Fetch, Referrer Policy).
fn keeps_to_itself(answer: &Answer, what: &str) {
    let policy = answer.header("content-security-policy").unwrap_or_default();
    let parts: Vec<&str> = policy.split(';').map(str::trim).collect();
    let needed = [
        "default-src 'none'",
        "script-src 'self'",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    ];
    for part in needed {
        assert!(parts.contains(&part), "{what}: {part} not in {policy}");
    }
    assert!(!policy.contains("unsafe"), "{what}: {policy}");
    assert!(!policy.contains('*'), "{what}: {policy}");
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cache-control", "no-store"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
    ] {
        assert_eq!(answer.header(name), Some(value), "{what}: {name}");
    }
    let told = answer
        .headers
        .iter()
        .find(|(name, _)| name.starts_with("access-control-"));
    assert_eq!(told, None, "{what}");
    assert!(answer.header("content-type").is_some(), "{what}");
}

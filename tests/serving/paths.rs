//! No address leads to a file: neither one of the layout's folder, nor one beside or above it.

use std::fs;

use crate::program::{LAYOUT, Served, tree};

/// Stands in every file that nobody may see.
const SECRET: &str = "where the harbour's keys hang";

#[test]
#[cfg(unix)]
fn no_address_leads_to_a_file() {
    let place = tempfile::tempdir().expect("a folder");
    let yard = place.path().join("yard");
    fs::create_dir_all(yard.join("made/1")).expect("folders");
    fs::create_dir(yard.join("page")).expect("a folder");
    let layout = yard.join("dinghy.toml");
    fs::write(&layout, format!("# {SECRET}\n{LAYOUT}")).expect("a layout");
    let secrets = [
        "above.txt",
        "yard/beside.txt",
        "yard/made/1/0",
        "yard/made/1/beside.txt",
        "yard/page/extra.js",
        "yard/%2e%2e",
    ];
    for name in secrets {
        fs::write(place.path().join(name), SECRET).expect("a secret");
    }
    for (to, link) in [("../above.txt", "link.txt"), ("..", "out"), ("/", "root")] {
        std::os::unix::fs::symlink(to, yard.join(link)).expect("a link");
    }
    let served = Served::begin(&layout);
    let whole = place.path().to_str().expect("a plain name").to_owned();
    let before = tree(place.path());
    let page = [served.get("").body, served.get("main.js").body];
    let mut tried = 0;
    for path in hostile_paths(&whole) {
        // Behind the word, in place of it, and as something made.
        for target in [
            served.at(&path),
            format!("/{path}"),
            served.at(&format!("made/{path}")),
        ] {
            for method in ["GET", "PUT", "DELETE", "POST"] {
                let head = served.head(method, &target);
                let body = "Content-Type: application/json\r\nContent-Length: 2\r\n\r\n{}";
                let request = format!("{head}{body}");
                let shown = format!("{method} {}", target.escape_debug());
                // What is no request at all may be answered by nothing.
                if let Some(answer) = served.send_all(request.as_bytes()) {
                    let is_refused = matches!(answer.status, 400 | 403 | 404 | 414 | 431);
                    // What stands behind a question mark leads nowhere.
                    let is_page = method == "GET" && page.contains(&answer.body);
                    assert!(is_refused || is_page, "{shown}: {}", answer.status);
                    assert!(!answer.text().contains(SECRET), "{shown}");
                }
                tried += 1;
            }
        }
    }
    assert!(tried >= 12 * 50, "{tried}");
    assert_eq!(tree(place.path()), before);
    assert_eq!(served.get("file").status, 200);
}

/// Ways out of a folder, as they have been tried on servers of files.
fn hostile_paths(whole: &str) -> Vec<String> {
    let mut all: Vec<String> = [
        "dinghy.toml",
        "./dinghy.toml",
        "beside.txt",
        "./beside.txt",
        "made/1/0",
        "made/1/beside.txt",
        "page/extra.js",
        "page/main.js",
        "src/show/page/main.js",
        ".spile-dinghy.toml-0123456789abcdef.new",
        "link.txt",
        "out/above.txt",
        "out/out/above.txt",
        "out",
        "out/",
        "root/proc/self/environ",
        "root/etc/hostname",
        "../above.txt",
        "../../above.txt",
        "../yard/beside.txt",
        "main.js/../beside.txt",
        "main.js/../../above.txt",
        "file/../beside.txt",
        "./../above.txt",
        ".//../above.txt",
        "....//above.txt",
        "..././above.txt",
        "..;/above.txt",
        "%2e%2e/above.txt",
        "%2e%2e%2fabove.txt",
        "..%2fabove.txt",
        ".%2e/above.txt",
        "%2E%2E%2Fabove.txt",
        "%252e%252e/above.txt",
        "%252e%252e%252fabove.txt",
        "%25252e%25252e%25252fabove.txt",
        "..%252fabove.txt",
        "..%c0%afabove.txt",
        "%c0%ae%c0%ae/above.txt",
        "%c0%ae%c0%ae%c0%afabove.txt",
        "%e0%80%ae%e0%80%ae%e0%80%afabove.txt",
        "%f0%80%80%ae/above.txt",
        "%uff0e%uff0e%u2215above.txt",
        "..%u2215above.txt",
        "%ef%bc%8e%ef%bc%8e/above.txt",
        "..%5cabove.txt",
        "..\\above.txt",
        "..\\..\\above.txt",
        "%2e%2e%5cabove.txt",
        "..%255cabove.txt",
        "beside.txt%00",
        "beside.txt%00.js",
        "main.js%00../beside.txt",
        "beside.txt\0",
        "beside.txt%0a",
        "beside.txt%20",
        "beside.txt.",
        "beside.txt/",
        "beside.txt/.",
        "beside.txt::$DATA",
        "beside.txt?",
        "beside.txt#main.js",
        "?file=../above.txt",
        "?../above.txt",
        "main.js?/../beside.txt/",
        "/etc/hostname",
        "//etc/hostname",
        "///etc/hostname",
        "%2fetc%2fhostname",
        "/proc/self/environ",
        "proc/self/environ",
        "/dev/zero",
        "c:/above.txt",
        "C:\\above.txt",
        "c%3a%5cabove.txt",
        "//localhost/c$/above.txt",
        "\\\\localhost\\c$\\above.txt",
        "\\\\?\\C:\\above.txt",
        "file:///etc/hostname",
        "file:beside.txt",
        "~/above.txt",
        "~root/above.txt",
        "$HOME/above.txt",
        "%HOME%/above.txt",
        "`pwd`/above.txt",
        "-",
        "--help",
        "*",
        "beside.*",
        "CON",
        "NUL",
        "1/../../beside.txt",
        "0/beside.txt",
        "1/-1",
        "1/18446744073709551616",
        "-1/0",
        "1/0/../../../beside.txt",
        "index.html/",
        "INDEX.HTML",
        ".git/config",
        ".env",
    ]
    .map(str::to_owned)
    .to_vec();
    all.push(format!("{whole}/above.txt"));
    all.push(format!("/{whole}/yard/beside.txt"));
    all.push(whole.replace('/', "%2f") + "%2fabove.txt");
    all.push(format!("{}above.txt", "../".repeat(200)));
    all.push(format!("{}above.txt", "%2e%2e%2f".repeat(200)));
    all.push(format!("{}beside.txt", "./".repeat(3_000)));
    all.push("a".repeat(10_000));
    all.push("a/".repeat(30_000));
    all
}

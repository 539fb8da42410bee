//! `output/` holds what `plan` gives for every demo layout now.
//!
//! On one machine the bytes are the same every time. Another's sines and cosines may differ in the last
//! digit (IEEE 754 recommends correctly rounded functions and does not require them; from memory), so
//! files that differ are compared number by number and pixel by pixel before they are called stale.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use resvg::tiny_skia::Pixmap;

const REFRESH: &str = "cargo run --release -- plan layouts/*.toml";

#[test]
fn the_plans_kept_are_the_plans_given() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let layouts: Vec<PathBuf> = names_in(&root.join("layouts"))
        .into_iter()
        .filter(|name| extension(name) == "toml")
        .map(|name| Path::new("layouts").join(name))
        .collect();
    assert!(
        layouts.len() >= 5,
        "there are {} demo layouts",
        layouts.len()
    );
    let fresh = tempfile::tempdir().expect("a folder to work in");
    let made = Command::new(env!("CARGO_BIN_EXE_spile"))
        .current_dir(root)
        .arg("plan")
        .args(&layouts)
        .arg("--out")
        .arg(fresh.path())
        .output()
        .expect("spile starts");
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );

    let kept = root.join("output");
    let mut stale = Vec::new();
    for folder in names_in_either(&kept, fresh.path()) {
        if folder == Path::new("measuring") {
            continue;
        }
        let (kept, fresh) = (kept.join(&folder), fresh.path().join(&folder));
        for file in names_in_either(&kept, &fresh) {
            let why = match (fs::read(kept.join(&file)), fs::read(fresh.join(&file))) {
                (Ok(kept), Ok(fresh)) if alike(&file, &kept, &fresh) => continue,
                (Ok(_), Ok(_)) => "is not what plan gives now",
                (Ok(_), Err(_)) => "is not given any more",
                (Err(_), _) => "is missing",
            };
            stale.push(format!("output/{} {why}", folder.join(file).display()));
        }
    }
    assert!(
        stale.is_empty(),
        "{}\nrefresh with: {REFRESH}",
        stale.join("\n")
    );
}

/// The guide's sketches; `UPDATE_SKETCHES=1` writes them afresh.
#[test]
fn the_sketches_of_the_guide_are_those_of_the_measuring_sheet() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("output/measuring");
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts/MEASURING.md");
    let guide = fs::read_to_string(guide).expect("the guide");
    let sketches = spile::drawing::sketches();
    let names: Vec<PathBuf> = sketches
        .iter()
        .map(|(name, _)| PathBuf::from(format!("{name}.svg")))
        .collect();
    if std::env::var_os("UPDATE_SKETCHES").is_some() {
        fs::create_dir_all(&folder).expect("a folder to write into");
        for (name, (_, sketch)) in names.iter().zip(&sketches) {
            fs::write(folder.join(name), spile::export::svg(sketch)).expect("it can be written");
        }
    }
    for (name, (_, sketch)) in names.iter().zip(&sketches) {
        let kept = fs::read(folder.join(name)).unwrap_or_default();
        let fresh = spile::export::svg(sketch);
        assert!(
            alike(name, &kept, fresh.as_bytes()),
            "output/measuring/{} is stale; refresh with: UPDATE_SKETCHES=1 cargo test --test stale_output",
            name.display()
        );
        let shown = format!("../output/measuring/{}", name.display());
        assert!(guide.contains(&shown), "the guide does not show {shown}");
    }
    let mut kept = names_in(&folder);
    let mut names = names;
    kept.sort();
    names.sort();
    assert_eq!(kept, names, "what is in output/measuring");
}

#[test]
fn what_a_person_could_see_is_a_difference() {
    let json = Path::new("figures.json");
    let svg = Path::new("a.svg");
    assert!(alike(json, b"\"a\": -1.5e-17,", b"\"a\": 2e-18,"));
    assert!(alike(json, b"12.000000000000002", b"12.0"));
    assert!(!alike(json, b"12.0000001", b"12.0"));
    let html = Path::new("report.html");
    let page = |data: &str| format!("<path d=\"{data}\" stroke=\"#000\"/>").into_bytes();
    assert!(alike(html, &page("m1 .5l.3.25"), &page("m1.01.5l.29.25")));
    assert!(!alike(html, &page("m1 .5l.3.25"), &page("m1.1.5l.2.25")));
    assert!(!alike(html, &page("m1 .5l.3.25"), &page("m1 .5")));
    assert!(!alike(json, b"\"a\": 1", b"\"b\": 1"));
    assert!(!alike(json, b"\"a\": 1", b"\"a\": 1, 2"));
    assert!(alike(
        svg,
        b"<path d=\"M1.234-5\"/>",
        b"<path d=\"M1.235-5\"/>"
    ));
    assert!(!alike(
        svg,
        b"<path d=\"M1.234-5\"/>",
        b"<path d=\"M1.236-5\"/>"
    ));

    let png = Path::new("a.png");
    let mut picture = Pixmap::new(4, 4).expect("a small picture");
    let blank = picture.encode_png().expect("bytes");
    picture.data_mut()[3] = 3;
    let nearly = picture.encode_png().expect("bytes");
    picture.data_mut()[3] = 200;
    let dotted = picture.encode_png().expect("bytes");
    assert!(alike(png, &blank, &nearly));

    let pdf = Path::new("a.pdf");
    let written = |line: &str| {
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(line.as_bytes(), 6);
        let mut bytes =
            format!("1 0 obj\n<<\n  /Length {}\n>>\nstream\n", packed.len()).into_bytes();
        bytes.extend(packed);
        bytes.extend(b"\nendstream\nxref\n0 1\n");
        bytes
    };
    assert!(alike(pdf, &written("12.3451 8 l"), &written("12.345 8 l")));
    assert!(!alike(pdf, &written("12.3451 8 l"), &written("12.355 8 l")));
    assert!(!alike(
        pdf,
        &written("12.3451 8 l"),
        &written("12.3451 8 m")
    ));
    assert!(!alike(png, &blank, &dotted));
}

/// Whether a difference, if there is any, is the last digit of another machine's arithmetic.
fn alike(file: &Path, kept: &[u8], fresh: &[u8]) -> bool {
    if kept == fresh {
        return true;
    }
    match extension(file).as_str() {
        "png" => same_picture(kept, fresh),
        "pdf" => same_document(kept, fresh),
        // The last decimal that is written may fall either way.
        "svg" => same_text(kept, fresh, |_| 0.001_1),
        "csv" if file.ends_with("cutting-list.csv") => same_text(kept, fresh, |_| 0.001_1),
        "html" => same_report(kept, fresh),
        _ => same_text(kept, fresh, |size| 1e-9 * size.max(1.0)),
    }
}

/// The same page, with the same drawings: their hundredths may fall either way, and a path says them as steps.
fn same_report(kept: &[u8], fresh: &[u8]) -> bool {
    let (Ok(kept), Ok(fresh)) = (std::str::from_utf8(kept), std::str::from_utf8(fresh)) else {
        return false;
    };
    let (kept, fresh) = (without_paths(kept), without_paths(fresh));
    let same_path = |kept: &str, fresh: &str| {
        let read = |data| kurbo::BezPath::from_svg(data).expect("sound path data");
        let places = |path: &kurbo::BezPath| -> Vec<kurbo::Point> {
            path.elements()
                .iter()
                .filter_map(kurbo::PathEl::end_point)
                .collect()
        };
        let (kept, fresh) = (places(&read(kept)), places(&read(fresh)));
        let mut pairs = kept.iter().zip(&fresh);
        kept.len() == fresh.len() && pairs.all(|(kept, fresh)| kept.distance(*fresh) < 0.03)
    };
    same_text(kept.0.as_bytes(), fresh.0.as_bytes(), |_| 0.010_1)
        && kept.1.len() == fresh.1.len()
        && kept
            .1
            .iter()
            .zip(&fresh.1)
            .all(|(kept, fresh)| kept == fresh || same_path(kept, fresh))
}

/// A page without the data of its paths, and those.
fn without_paths(page: &str) -> (String, Vec<&str>) {
    let mut parts = page.split("<path d=\"");
    let mut rest = parts.next().unwrap_or_default().to_owned();
    let paths = parts.map(|part| {
        let (data, after) = part.split_once('"').expect("path data end");
        rest += after;
        data
    });
    let paths = paths.collect();
    (rest, paths)
}

/// No pixel off by more than an edge moved by a thousandth of a millimetre explains.
fn same_picture(kept: &[u8], fresh: &[u8]) -> bool {
    let (Ok(kept), Ok(fresh)) = (Pixmap::decode_png(kept), Pixmap::decode_png(fresh)) else {
        return false;
    };
    let mut channels = kept.data().iter().zip(fresh.data());
    (kept.width(), kept.height()) == (fresh.width(), fresh.height())
        && channels.all(|(kept, fresh)| kept.abs_diff(*fresh) <= 8)
}

/// The same objects, with the same contents where they are taken out of their compression. How long a stream became, and
/// so where objects begin, is no matter.
fn same_document(kept: &[u8], fresh: &[u8]) -> bool {
    let (kept, fresh) = (streams(kept), streams(fresh));
    kept.len() == fresh.len()
        && kept.iter().zip(&fresh).all(|(kept, fresh)| {
            let is_text = std::str::from_utf8(&kept.contents).is_ok();
            same_text(kept.before.as_bytes(), fresh.before.as_bytes(), |_| 0.003)
                && if is_text {
                    same_text(&kept.contents, &fresh.contents, |_| 0.003)
                } else {
                    kept.contents == fresh.contents
                }
        })
}

/// A stream of a PDF and what stands before it.
struct Stream {
    before: String,
    contents: Vec<u8>,
}

/// The last is what follows the last stream, up to the table of places.
fn streams(pdf: &[u8]) -> Vec<Stream> {
    let mut streams = Vec::new();
    let mut rest = pdf;
    while let Some(at) = position(rest, b"stream\n") {
        let (before, from) = (&rest[..at], &rest[at + 7..]);
        let length = position(from, b"\nendstream").expect("a stream ends");
        let contents = &from[..length];
        streams.push(Stream {
            before: without_lengths(before),
            contents: miniz_oxide::inflate::decompress_to_vec_zlib(contents)
                .unwrap_or_else(|_| contents.to_vec()),
        });
        rest = &from[length + 10..];
    }
    let end = position(rest, b"xref\n").unwrap_or(rest.len());
    streams.push(Stream {
        before: without_lengths(&rest[..end]),
        contents: Vec::new(),
    });
    streams
}

fn without_lengths(text: &[u8]) -> String {
    let text = String::from_utf8_lossy(text);
    let lines = text.lines().filter(|line| !line.contains("/Length"));
    lines.collect::<Vec<_>>().join("\n")
}

fn position(text: &[u8], sought: &[u8]) -> Option<usize> {
    text.windows(sought.len())
        .position(|window| window == sought)
}

fn same_text(kept: &[u8], fresh: &[u8], slack: impl Fn(f64) -> f64) -> bool {
    let (Ok(kept), Ok(fresh)) = (std::str::from_utf8(kept), std::str::from_utf8(fresh)) else {
        return false;
    };
    let (kept, fresh) = (pieces(kept), pieces(fresh));
    kept.len() == fresh.len()
        && kept.iter().zip(&fresh).all(|pair| match pair {
            (Piece::Number(kept), Piece::Number(fresh)) => {
                (kept - fresh).abs() <= slack(kept.abs())
            }
            (kept, fresh) => kept == fresh,
        })
}

#[derive(Debug, PartialEq)]
enum Piece<'a> {
    Number(f64),
    Words(&'a str),
}

/// A text taken apart into its numbers and what stands between them.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let start = if rest[..at].ends_with('-') {
            at - 1
        } else {
            at
        };
        let length = number_length(&rest[at..]);
        pieces.push(Piece::Words(&rest[..start]));
        let number = &rest[start..at + length];
        pieces.push(number.parse().map_or(Piece::Words(number), Piece::Number));
        rest = &rest[at + length..];
    }
    pieces.push(Piece::Words(rest));
    pieces
}

/// How many bytes of a text that starts with a digit belong to one number.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        let run = bytes[from..]
            .iter()
            .take_while(|byte| byte.is_ascii_digit());
        from + run.count()
    };
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if bytes.get(end) == Some(&b'e') {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent = digits(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    end
}

fn extension(path: &Path) -> String {
    path.extension()
        .map(|extension| extension.to_string_lossy().into_owned())
        .unwrap_or_default()
}

fn names_in_either(one: &Path, other: &Path) -> BTreeSet<PathBuf> {
    [names_in(one), names_in(other)]
        .concat()
        .into_iter()
        .collect()
}

/// What is in a folder, by name; nothing where there is no such folder.
fn names_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").file_name().into())
        .collect();
    names.sort();
    names
}

//! How targets are run: finds first, then new inputs, each watched; what fails is made small and shown.

pub(crate) mod decode;
pub(crate) mod layouts;
pub(crate) mod offsets;
pub(crate) mod regions;
pub(crate) mod sound;

use std::fmt::Write;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use serde::Deserialize;

/// What is right, or what is wrong with it.
pub(crate) type Verdict = Result<(), String>;

/// Something to be tried with many inputs.
pub(crate) struct Target {
    /// Of its finds: `fuzz_finds/<name>.toml`.
    pub(crate) name: &'static str,
    /// How many where no time is given.
    pub(crate) inputs: u64,
    pub(crate) generate: fn(&mut Dice) -> Vec<u8>,
    pub(crate) judge: fn(&[u8]) -> Verdict,
    /// What the bytes stand for, for the person who looks into a find.
    pub(crate) describe: fn(&[u8]) -> String,
    /// What one input may take: far more than any does.
    pub(crate) longest: Duration,
}

/// Random numbers, the same on every machine: splitmix64 (constants from memory).
#[derive(Debug, Clone)]
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound.max(1)).expect("64 bits hold it");
        usize::try_from(self.next() % bound).expect("less than a usize")
    }

    pub(crate) fn byte(&mut self) -> u8 {
        self.next().to_le_bytes()[0]
    }

    pub(crate) fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}

/// Up to some hundred bytes; small numbers and repeats are more likely, so that things coincide.
pub(crate) fn some_bytes(dice: &mut Dice) -> Vec<u8> {
    let length = 8 + dice.below(90);
    let mut bytes: Vec<u8> = Vec::with_capacity(length);
    for _ in 0..length {
        let byte = match dice.below(6) {
            0 => dice.byte() % 8,
            1 if !bytes.is_empty() => bytes[dice.below(bytes.len())],
            _ => dice.byte(),
        };
        bytes.push(byte);
    }
    bytes
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Finds {
    #[serde(default)]
    find: Vec<Find>,
}

/// An input that once failed, as bytes in hexadecimal or as text.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Find {
    what: String,
    #[serde(default)]
    bytes: String,
    text: Option<String>,
    /// What is wrong with it today.
    awaiting: Option<String>,
}

/// Tries finds, then new inputs.
pub(crate) fn run(target: &Target) {
    let mut wrong = finds(target);
    let seconds: Option<u64> = std::env::var("FUZZ_SECONDS")
        .ok()
        .and_then(|text| text.parse().ok());
    match seconds {
        None => {
            let mut dice = Dice(0x05ee_d0f3);
            for _ in 0..target.inputs {
                let bytes = (target.generate)(&mut dice);
                if let Err(why) = watched(target, &bytes) {
                    write!(wrong, "{}", find_of(target, &bytes, &why)).expect("text");
                    break;
                }
            }
        }
        Some(seconds) => wrong.push_str(&search(target, Duration::from_secs(seconds))),
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

fn finds(target: &Target) -> String {
    let name = format!("tests/fuzz_finds/{}.toml", target.name);
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&name))
        .expect("the finds of earlier runs");
    let finds: Finds = toml::from_str(&text).expect("finds are TOML");
    let mut wrong = String::new();
    for find in finds.find {
        let bytes = match &find.text {
            Some(text) => text.as_bytes().to_vec(),
            None => bytes_of(&find.bytes),
        };
        match (watched(target, &bytes), &find.awaiting) {
            (Ok(()), None) | (Err(_), Some(_)) => {}
            (Err(why), None) => {
                writeln!(wrong, "{} {}: {why}", find.what, find.bytes).expect("text");
            }
            (Ok(()), Some(_)) => {
                let (what, bytes) = (&find.what, &find.bytes);
                writeln!(wrong, "{what} {bytes}: right today; take `awaiting` out").expect("text");
            }
        }
    }
    wrong
}

/// New inputs until the time is over; everything found, as it comes and again at the end.
#[allow(clippy::print_stderr, reason = "a long search must say what it does")]
fn search(target: &Target, time: Duration) -> String {
    let since_1970 = SystemTime::now().duration_since(UNIX_EPOCH);
    let seed = since_1970.map_or(1, |time| u64::from(time.subsec_nanos()) ^ time.as_secs());
    eprintln!("{}: seed {seed}", target.name);
    let mut dice = Dice(seed);
    let start = Instant::now();
    let mut found = String::new();
    let mut kinds: Vec<String> = Vec::new();
    let mut count = 0_u64;
    while start.elapsed() < time {
        let bytes = (target.generate)(&mut dice);
        count += 1;
        if let Err(why) = watched(target, &bytes) {
            // One of a kind: the message up to its first number.
            let kind = why
                .split(|c: char| c.is_ascii_digit())
                .next()
                .unwrap_or_default();
            let seen = kinds.iter().filter(|known| *known == kind).count();
            kinds.push(kind.to_owned());
            if seen < 5 {
                let find = find_of(target, &bytes, &why);
                eprintln!("{find}");
                found.push_str(&find);
            }
        }
    }
    eprintln!(
        "{}: {count} inputs, {} failed, in {:.0?}",
        target.name,
        kinds.len(),
        start.elapsed()
    );
    found
}

/// The verdict on an input, also where it panics or, twice, does not come back: a machine may stand still
/// for a while.
fn watched(target: &Target, bytes: &[u8]) -> Verdict {
    watched_once(target, bytes)
        .or_else(|| watched_once(target, bytes))
        .unwrap_or_else(|| Err(format!("no answer in {:?}", target.longest)))
}

fn watched_once(target: &Target, bytes: &[u8]) -> Option<Verdict> {
    let (sender, receiver) = mpsc::channel();
    let (judge, input) = (target.judge, bytes.to_vec());
    thread::spawn(move || {
        let verdict = catch_unwind(AssertUnwindSafe(|| judge(&input)));
        let said = verdict.unwrap_or_else(|_| Err("it panicked".to_owned()));
        // Nobody may be waiting any more.
        let _ = sender.send(said);
    });
    receiver.recv_timeout(target.longest).ok()
}

/// A failing input made small, as it is kept in the finds.
fn find_of(target: &Target, bytes: &[u8], why: &str) -> String {
    let (bytes, why) = smaller(target, bytes, why);
    let shown = match std::str::from_utf8(&bytes) {
        Ok(text) if target.name == "layouts" => format!("text = '''\n{text}'''"),
        _ => format!("bytes = \"{}\"", hex(&bytes)),
    };
    let described = (target.describe)(&bytes);
    let described: String = described
        .lines()
        .map(|line| format!("# {line}\n"))
        .collect();
    format!("{described}[[find]]\nwhat = {why:?}\n{shown}\n\n")
}

/// The same fault from fewer and smaller bytes, as far as it is quickly found.
fn smaller(target: &Target, bytes: &[u8], why: &str) -> (Vec<u8>, String) {
    let start = Instant::now();
    let (mut best, mut said) = (bytes.to_vec(), why.to_owned());
    let kind = |text: &str| text.chars().take(8).collect::<String>();
    let mut chunk = best.len().div_ceil(2);
    while chunk > 0 && !why.starts_with("no answer") {
        let mut at = 0;
        while at < best.len() {
            if start.elapsed() > 3 * target.longest {
                return (best, said);
            }
            let end = (at + chunk).min(best.len());
            let without = [&best[..at], &best[end..]].concat();
            let mut zeroed = best.clone();
            zeroed[at..end].fill(0);
            let shrinks = [without, zeroed];
            // Text does not get simpler by zeros.
            let tried = if target.name == "layouts" { 1 } else { 2 };
            let hit = shrinks.into_iter().take(tried).find_map(|tried| {
                if tried == best {
                    return None;
                }
                let again = watched(target, &tried).err()?;
                (kind(&again) == kind(&said)).then_some((tried, again))
            });
            match hit {
                Some((tried, again)) => {
                    let same_length = tried.len() == best.len();
                    (best, said) = (tried, again);
                    if same_length {
                        at += chunk;
                    }
                }
                None => at += chunk,
            }
        }
        chunk /= 2;
    }
    (best, said)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        write!(text, "{byte:02x}").expect("text");
        text
    })
}

fn bytes_of(hex: &str) -> Vec<u8> {
    hex.as_bytes()
        .chunks(2)
        .map(|pair| {
            let pair = std::str::from_utf8(pair).expect("hexadecimal digits");
            u8::from_str_radix(pair, 16).expect("hexadecimal digits")
        })
        .collect()
}

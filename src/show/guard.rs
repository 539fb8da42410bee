//! Who may ask: the page of this server in a browser on this machine, and nobody else. Other pages open in the same browser
//! can send requests here too, and a name of theirs may lead to this address; what they cannot do is guess the word in it, or
//! say that they are this page.

use std::fmt::Write as _;

/// Bytes of chance in the word.
const BYTES: usize = 16;

/// A word in the address that nobody guesses.
#[derive(Clone)]
pub(super) struct Token(String);

impl Token {
    /// A new one, from the system's own chance.
    pub(super) fn new() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; BYTES];
        getrandom::fill(&mut bytes)?;
        let mut word = String::with_capacity(2 * BYTES);
        for byte in bytes {
            // Writing to a String cannot fail.
            let _ = write!(word, "{byte:02x}");
        }
        Ok(Self(word))
    }

    pub(super) fn word(&self) -> &str {
        &self.0
    }

    /// Whether a word is this one; how long that takes says nothing of where they differ.
    fn is(&self, word: &str) -> bool {
        word.len() == self.0.len()
            && word
                .bytes()
                .zip(self.0.bytes())
                .fold(0, |differing, (one, other)| differing | (one ^ other))
                == 0
    }
}

/// What of a request says who asks.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Asking<'a> {
    pub(super) path: &'a str,
    /// The host that a whole address names in place of a path (RFC 9112, 3.2.2); no browser sends one to a server itself.
    pub(super) named: Option<&'a str>,
    pub(super) host: Option<&'a str>,
    pub(super) origin: Option<&'a str>,
    /// `Sec-Fetch-Site` (W3C Fetch Metadata): what the browser itself says of whose page asks.
    pub(super) site: Option<&'a str>,
}

/// Lets requests in.
#[derive(Clone)]
pub(super) struct Guard {
    pub(super) token: Token,
    pub(super) port: u16,
}

impl Guard {
    /// The part of the path behind the word, where this request may be answered.
    pub(super) fn admitted<'a>(&self, asking: Asking<'a>) -> Option<&'a str> {
        let hosts = [
            format!("127.0.0.1:{}", self.port),
            format!("localhost:{}", self.port),
        ];
        let is_host = |name: &str| hosts.iter().any(|host| host == name);
        let host = asking.host.is_some_and(is_host);
        let origin = asking
            .origin
            .is_none_or(|origin| origin.strip_prefix("http://").is_some_and(is_host));
        let site = asking
            .site
            .is_none_or(|site| matches!(site, "same-origin" | "none"));
        let (word, rest) = asking.path.strip_prefix('/')?.split_once('/')?;
        (asking.named.is_none() && host && origin && site && self.token.is(word)).then_some(rest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guard() -> Guard {
        Guard {
            token: Token("0123456789abcdef0123456789abcdef".to_owned()),
            port: 4711,
        }
    }

    fn page() -> Asking<'static> {
        Asking {
            path: "/0123456789abcdef0123456789abcdef/work",
            named: None,
            host: Some("127.0.0.1:4711"),
            origin: Some("http://127.0.0.1:4711"),
            site: Some("same-origin"),
        }
    }

    #[test]
    fn the_page_itself_is_let_in() {
        assert_eq!(guard().admitted(page()), Some("work"));
        let typed = Asking {
            path: "/0123456789abcdef0123456789abcdef/",
            named: None,
            host: Some("localhost:4711"),
            origin: None,
            site: Some("none"),
        };
        assert_eq!(guard().admitted(typed), Some(""));
    }

    #[test]
    fn nobody_else_is() {
        let others = [
            Asking {
                named: Some("pilots.example"),
                ..page()
            },
            Asking {
                named: Some("127.0.0.1:4711"),
                ..page()
            },
            Asking {
                host: None,
                ..page()
            },
            Asking {
                host: Some("pilots.example:4711"),
                ..page()
            },
            Asking {
                host: Some("127.0.0.1"),
                ..page()
            },
            Asking {
                host: Some("127.0.0.1:4712"),
                ..page()
            },
            Asking {
                origin: Some("http://pilots.example"),
                ..page()
            },
            Asking {
                origin: Some("https://127.0.0.1:4711"),
                ..page()
            },
            Asking {
                origin: Some("null"),
                ..page()
            },
            Asking {
                origin: Some("http://127.0.0.1:4711.pilots.example"),
                ..page()
            },
            Asking {
                site: Some("cross-site"),
                ..page()
            },
            Asking {
                site: Some("same-site"),
                ..page()
            },
            Asking {
                path: "/",
                ..page()
            },
            Asking {
                path: "/work",
                ..page()
            },
            Asking {
                path: "/0123456789abcdef0123456789abcdee/work",
                ..page()
            },
            Asking {
                path: "/0123456789ABCDEF0123456789ABCDEF/work",
                ..page()
            },
            Asking {
                path: "/0123456789abcdef0123456789abcdef",
                ..page()
            },
            Asking {
                path: "/x/0123456789abcdef0123456789abcdef/work",
                ..page()
            },
        ];
        for asking in others {
            assert_eq!(guard().admitted(asking), None, "{asking:?}");
        }
    }

    #[test]
    fn every_word_is_another() {
        let words: Vec<String> = (0..100)
            .map(|_| {
                Token::new()
                    .expect("the system has chance")
                    .word()
                    .to_owned()
            })
            .collect();
        assert!(words.iter().all(|word| word.len() == 32));
        let distinct: std::collections::BTreeSet<&String> = words.iter().collect();
        assert_eq!(distinct.len(), 100);
    }
}

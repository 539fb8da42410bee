//! What a browser may do with the report: nothing but apply the one style and run the one script that are in it, known by
//! their hashes (Content Security Policy Level 3, hash-source; SHA-256, FIPS 180-4).

use data_encoding::BASE64;
use sha2::{Digest, Sha256};

/// The policy of a page that holds this style and this script.
pub(super) fn policy(style: &str, script: &str) -> String {
    format!(
        "default-src 'none'; style-src '{}'; script-src '{}'; img-src data:; base-uri 'none'; form-action 'none'",
        source(style),
        source(script)
    )
}

/// How a policy names a text.
fn source(text: &str) -> String {
    format!("sha256-{}", BASE64.encode(&Sha256::digest(text.as_bytes())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_named_as_a_published_example_names_it() {
        // The example of MDN's page on a manifest's content_security_policy.
        assert_eq!(
            source("alert('Hello, world.');"),
            "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng="
        );
    }
}

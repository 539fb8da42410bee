//! The program itself and the machine's own disk: ended in the middle of saving, it leaves one of two texts; what the file was to
//! others it is afterwards.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::program::{LAYOUT, Served};

const ROUNDS: usize = 100;
/// As fine as a wait can be.
const LEAST: Duration = Duration::from_millis(1);

fn names(folder: &Path) -> usize {
    fs::read_dir(folder).expect("ours").count()
}

#[test]
fn ended_at_any_moment_it_leaves_one_text_or_the_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    let short = LAYOUT.to_owned();
    let long = LAYOUT.to_owned() + &"# a line of the longer one\n".repeat(20_000);
    let texts = [short, long];
    fs::write(&layout, &texts[0]).expect("a layout");
    // How long either takes where nobody is in the way, the first of all left out.
    let usual = {
        let served = Served::begin(&layout);
        let saved = |text: &str| {
            let over = served.version();
            let begun = Instant::now();
            assert!(served.save(text, over).is_saved());
            begun.elapsed()
        };
        let _ = [saved(&texts[1]), saved(&texts[0])];
        [saved(&texts[1]), saved(&texts[0])].map(|taken| taken.max(LEAST))
    };
    let begun = Instant::now();
    let (mut old, mut new, mut halfway) = (0, 0, 0);
    for round in 0..ROUNDS {
        let mut served = Served::begin(&layout);
        let before = fs::read_to_string(&layout).expect("it stands");
        let other = usize::from(before == texts[0]);
        let save = json!({ "text": texts[other], "over": served.version() });
        let mut socket = served.connect();
        let request = served.posted("save", &save.to_string());
        socket.write_all(&request).expect("it is taken");
        // From before it begins until after it is done, in uneven steps.
        let part = u32::try_from(round * 7919 % ROUNDS).expect("a small number");
        thread::sleep(usual[1 - other] * part / 60);
        served.kill();
        halfway += usize::from(names(folder.path()) > 1);
        let after = fs::read_to_string(&layout).expect("it stands");
        if after == before {
            old += 1;
        } else {
            assert!(
                after == texts[other],
                "round {round}: {} bytes",
                after.len()
            );
            new += 1;
        }
    }
    let served = Served::begin(&layout);
    let answer = served.save("last = 1\n", served.version());
    assert!(answer.is_saved(), "{}", answer.text());
    assert_eq!(names(folder.path()), 1);
    println!(
        "ended {ROUNDS} times in {:?}: {old} old, {new} new, {halfway} halfway",
        begun.elapsed()
    );
    // Were it always too early or always too late, this would test little.
    assert!(old > 4 && new > 4, "{old} old, {new} new");
}

#[test]
#[cfg(unix)]
fn a_saved_layout_is_as_accessible_as_before() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    for mode in [0o600, 0o640, 0o664, 0o755] {
        fs::set_permissions(&layout, fs::Permissions::from_mode(mode)).expect("ours");
        let text = format!("# {mode:o}\n{LAYOUT}");
        let answer = served.save(&text, served.version());
        assert!(answer.is_saved(), "{}", answer.text());
        let now = fs::metadata(&layout).expect("it stands").permissions();
        assert_eq!(now.mode() & 0o777, mode);
        assert_eq!(fs::read_to_string(&layout).expect("it stands"), text);
    }
}

#[test]
#[cfg(unix)]
fn a_layout_behind_a_link_is_saved_where_it_lies_and_the_link_stays() {
    let place = tempfile::tempdir().expect("a folder");
    let kept = place.path().join("kept");
    fs::create_dir(&kept).expect("a folder");
    fs::write(kept.join("dinghy.toml"), LAYOUT).expect("a layout");
    let link = place.path().join("link.toml");
    std::os::unix::fs::symlink("kept/dinghy.toml", &link).expect("a link");
    let served = Served::begin(&link);
    let text = LAYOUT.replace("40", "45");
    let answer = served.save(&text, served.version());
    assert!(answer.is_saved(), "{}", answer.text());
    assert!(link.is_symlink());
    assert_eq!(
        fs::read_to_string(kept.join("dinghy.toml")).expect("it stands"),
        text
    );
}

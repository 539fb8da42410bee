//! The program as a person runs it: what it prints, what it writes, how it ends.

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// A deck of 2 m by 1 m with a hatch; 2 m² in all.
const DECK: &str = r#"title = "Skerry dinghy, thwart deck"
units = "mm"

[[deck]]
id = "main"
[deck.outline]
points = [[0, -500], [2000, -500], [2000, 500], [0, 500]]
[deck.margin]
edge = 50
[deck.radius]
round = 30
[[deck.opening]]
name = "hatch"
rectangle = { at = [1000, 0], size = [400, 400], radius = 40 }
"#;

/// The same with a mistyped key on line 9.
fn faulty() -> String {
    DECK.replace("edge = 50", "egde = 50")
}

struct Boatyard {
    folder: TempDir,
}

impl Boatyard {
    fn with(files: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder to work in");
        for (name, text) in files {
            fs::write(folder.path().join(name), text).expect("a file to work on");
        }
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_spile"));
        command.current_dir(self.folder.path()).args(arguments);
        command
    }

    fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().expect("spile starts")
    }

    /// Shows a layout without opening it anywhere, and ends that again; the address is on the first line.
    fn shows(&self, arguments: &[&str]) {
        let mut child = self
            .command(arguments)
            .arg("--no-open")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("spile starts");
        let mut address = String::new();
        let mut printed = BufReader::new(child.stdout.take().expect("a pipe"));
        printed.read_line(&mut address).expect("text");
        child.kill().expect("it runs until it is ended");
        child.wait().expect("it ends");
        assert!(address.starts_with("http://127.0.0.1:"), "{address:?}");
    }

    /// Everything in the folder, files and folders, by name.
    fn contents(&self) -> Vec<String> {
        let mut names = Vec::new();
        list(self.folder.path(), Path::new(""), &mut names);
        names
    }
}

fn list(root: &Path, below: &Path, names: &mut Vec<String>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(root.join(below))
        .expect("the folder can be listed")
        .map(|entry| below.join(entry.expect("an entry").file_name()))
        .collect();
    entries.sort();
    for entry in entries {
        names.push(entry.to_string_lossy().replace('\\', "/"));
        if root.join(&entry).is_dir() {
            list(root, &entry, names);
        }
    }
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("standard output is text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("standard error is text")
}

#[track_caller]
fn assert_status(output: &Output, status: i32) {
    assert_eq!(output.status.code(), Some(status), "{}", err(output));
}

#[test]
fn a_roll_too_large_for_the_usual_resolution_is_pictured_at_the_finest_there_is() {
    let layout = "title = \"Plank\"\n[[deck]]\nid = \"side\"\noutline = { points = [[0, 0], [7000, 0], [7000, 800], [0, 800]] }\n";
    let yard = Boatyard::with(&[("boat.toml", layout)]);
    let output = yard.run(&[
        "template",
        "boat.toml",
        "--roll",
        "914",
        "--out",
        "roll.png",
    ]);
    assert_status(&output, 0);
    assert!(yard.contents().contains(&"roll-2.png".to_owned()));
}

#[test]
fn a_measuring_sheet_is_a_pdf_or_a_picture_a_page_and_wrong_sizes_are_said() {
    let yard = Boatyard::with(&[]);
    let size = ["measure", "--length", "3.4 m", "--beam", "2800"];
    assert_status(&yard.run(&size), 0);
    let bytes = fs::read(yard.path("measuring-sheet.pdf")).expect("the sheet");
    assert!(bytes.starts_with(b"%PDF-"));
    let pages = yard.run(&[&size[..], &["--out", "page.svg", "--paper", "Letter"]].concat());
    assert_status(&pages, 0);
    let names = String::from_utf8_lossy(&pages.stdout).into_owned();
    assert_eq!(names.lines().last(), Some("page-7.svg"));
    assert!(yard.contents().contains(&"page-1.svg".to_owned()));
    for (arguments, said) in [
        (vec!["measure"], "or a layout"),
        (vec!["measure", "--length", "3 m"], "--beam"),
        (
            vec!["measure", "--length", "-3", "--beam", "2"],
            "cannot have that size",
        ),
        (
            vec![
                "measure",
                "--length",
                "3 m",
                "--beam",
                "2 m",
                "--stations",
                "1",
            ],
            "2..=400",
        ),
        (
            vec![
                "measure", "--length", "3 m", "--beam", "2 m", "--out", "a.doc",
            ],
            ".pdf",
        ),
    ] {
        let output = yard.run(&arguments);
        assert_status(&output, 2);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(told.contains(said), "{told}");
    }
}

#[test]
fn figures_as_json_are_alone_on_standard_output() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let output = yard.run(&["figures", "deck.toml", "--json"]);
    assert_status(&output, 0);
    let value: Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert_eq!(value["decks"][0]["id"], "main");
    let area = value["decks"][0]["area_m2"].as_f64().expect("a number");
    assert!((area - 2.0).abs() < 1e-12, "{area}");
    assert_eq!(yard.contents(), ["deck.toml"]);
}

#[test]
fn figures_of_several_layouts_come_as_a_list_a_table_or_one_sheet() {
    let second = DECK.replace("Skerry dinghy", "Second dinghy");
    let yard = Boatyard::with(&[("a.toml", DECK), ("b.toml", &second)]);
    let json = yard.run(&["figures", "a.toml", "b.toml", "--json"]);
    assert_status(&json, 0);
    let value: Value = serde_json::from_slice(&json.stdout).expect("nothing but JSON");
    assert_eq!(value[1]["title"], "Second dinghy, thwart deck");
    let table = out(&yard.run(&["figures", "a.toml", "b.toml"]));
    assert!(
        table.contains("Skerry dinghy") && table.contains("Second dinghy"),
        "{table}"
    );
    let csv = out(&yard.run(&["figures", "a.toml", "b.toml", "--csv"]));
    assert_eq!(csv.matches("area_m2").count(), 1, "one heading:\n{csv}");
    assert!(csv.ends_with("\r\n"));
}

#[test]
fn the_same_layout_gives_the_same_bytes() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    for arguments in [
        &["figures", "deck.toml", "--json"][..],
        &["sheet", "deck.toml"],
    ] {
        let first = yard.run(arguments);
        assert_status(&first, 0);
        assert!(first.stdout == yard.run(arguments).stdout, "{arguments:?}");
    }
}

#[test]
fn a_layout_at_fault_is_shown_with_its_line_and_nothing_is_written() {
    let yard = Boatyard::with(&[("deck.toml", &faulty()), ("good.toml", DECK)]);
    for arguments in [
        &["figures", "deck.toml", "--json"][..],
        &["figures", "good.toml", "deck.toml"],
        &["check", "deck.toml"],
        &["sheet", "deck.toml", "--out", "deck.svg"],
        &["plan", "deck.toml"],
        &["plan", "good.toml", "deck.toml", "--out", "plans"],
    ] {
        let output = yard.run(arguments);
        assert_status(&output, 1);
        let said = err(&output);
        assert!(said.contains("deck.toml:9:"), "{arguments:?}: {said}");
        assert!(
            said.contains("edge"),
            "it offers the key that was meant: {said}"
        );
        assert_eq!(out(&output), "", "{arguments:?}");
        assert_eq!(yard.contents(), ["deck.toml", "good.toml"], "{arguments:?}");
    }
}

#[test]
fn all_layouts_at_fault_are_told_in_one_run() {
    let yard = Boatyard::with(&[("a.toml", &faulty()), ("b.toml", &faulty())]);
    let said = err(&yard.run(&["check", "a.toml", "b.toml"]));
    assert!(
        said.contains("a.toml:9:") && said.contains("b.toml:9:"),
        "{said}"
    );
}

#[test]
fn a_layout_without_fault_is_said_to_have_none() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let output = yard.run(&["check", "deck.toml"]);
    assert_status(&output, 0);
    assert!(
        out(&output).starts_with("deck.toml: no fault found"),
        "{}",
        out(&output)
    );
    assert_eq!(yard.contents(), ["deck.toml"]);
}

/// Two fields 12 mm apart, too near for 19 mm tape, and a hatch that hangs over the edge on line 14.
fn worth_a_look() -> String {
    DECK.replace("at = [1000, 0]", "at = [1900, 300]")
        + "[[deck.strip]]\nwidth = 12\nacross_at = [700]\n"
}

#[test]
fn what_a_person_should_look_at_goes_to_standard_error_or_into_the_json() {
    let yard = Boatyard::with(&[("deck.toml", &worth_a_look())]);
    let table = yard.run(&["figures", "deck.toml"]);
    assert_status(&table, 0);
    let said = err(&table);
    assert!(
        said.contains("tape-clash") && said.contains("12 mm"),
        "{said}"
    );
    assert!(said.contains("deck.toml:14:"), "{said}");
    assert!(!out(&table).contains("tape-clash"));
    let json = yard.run(&["figures", "deck.toml", "--json"]);
    let value: Value = serde_json::from_slice(&json.stdout).expect("nothing but JSON");
    let codes: Vec<&str> = value["warnings"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|warning| warning["code"].as_str())
        .collect();
    assert!(
        codes.contains(&"tape-clash") && codes.len() == 2,
        "{codes:?}"
    );
    assert_eq!(err(&json), "", "they are in the JSON already");
    let check = yard.run(&["check", "deck.toml"]);
    assert_status(&check, 0);
    assert_eq!(out(&check), "deck.toml: no fault found, 2 warnings\n");
}

#[test]
fn a_file_that_is_not_text_is_a_fault_with_a_line() {
    let yard = Boatyard::with(&[]);
    fs::write(
        yard.path("deck.toml"),
        b"title = \"a\"\nunits = \"m\xff\"\n",
    )
    .expect("a file");
    let output = yard.run(&["check", "deck.toml"]);
    assert_status(&output, 1);
    let said = err(&output);
    assert!(
        said.contains("deck.toml:2:") && said.contains("UTF-8"),
        "{said}"
    );
}

#[test]
fn what_cannot_be_read_is_named_with_status_3() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    for (name, why) in [("none.toml", "none.toml"), (".", "folder")] {
        let output = yard.run(&["figures", name]);
        assert_status(&output, 3);
        assert!(err(&output).contains(why), "{}", err(&output));
    }
    let mixed = yard.run(&["check", "none.toml", "deck.toml"]);
    assert_status(&mixed, 3);
    assert!(
        out(&mixed).contains("deck.toml: no fault found"),
        "the other is still judged"
    );
}

#[test]
fn what_cannot_be_written_is_named_with_status_3_and_leaves_nothing() {
    let yard = Boatyard::with(&[("deck.toml", DECK), ("file", "in the way")]);
    for arguments in [
        &["plan", "deck.toml", "--out", "file/plan"][..],
        &["sheet", "deck.toml", "--out", "file/a.svg"],
        &["new", "file/new.toml", "--length", "2 m", "--beam", "1 m"],
    ] {
        let output = yard.run(arguments);
        assert_status(&output, 3);
        assert!(err(&output).contains("file"), "{}", err(&output));
        assert_eq!(yard.contents(), ["deck.toml", "file"], "{arguments:?}");
    }
}

#[test]
fn a_command_line_at_fault_ends_with_status_2() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    for (arguments, hint) in [
        (&["figures"][..], "LAYOUT"),
        (&["figure", "deck.toml"], "figures"),
        (&["figures", "deck.toml", "--json", "--csv"], "--csv"),
        (&["sheet", "deck.toml", "--paper", "B4"], "A3"),
        (&["sheet", "deck.toml", "--scale", "20"], "1:20"),
        (&["sheet", "deck.toml", "--scale", "1:0"], "1:20"),
        (&["sheet", "deck.toml", "--view", "side"], "reversed"),
        (&["sheet", "deck.toml", "--deck", "aft"], "main"),
        (&["sheet", "deck.toml", "--out", "a.gif"], ".png"),
        (
            &["sheet", "deck.toml", "--scale", "1:1", "--paper", "A4"],
            "scale",
        ),
        (
            &["sheet", "deck.toml", "--dpi", "1e9", "--out", "a.png"],
            "dots",
        ),
        (&["plan", "deck.toml", "./deck.toml"], "--out"),
        (&["new", "--length", "long", "--beam", "1 m"], "60 mm"),
        (&["new", "--length", "-2 m", "--beam", "1 m"], ""),
        (&["new", "--length", "inf", "--beam", "1 m"], "3.4 m"),
    ] {
        let output = yard.run(arguments);
        assert_status(&output, 2);
        let said = err(&output);
        assert!(said.contains(hint), "{arguments:?}: {said}");
        assert_eq!(out(&output), "", "{arguments:?}");
        assert_eq!(yard.contents(), ["deck.toml"], "{arguments:?}");
    }
}

#[test]
fn a_new_layout_can_be_used_as_it_is() {
    for units in ["mm", "cm", "m", "in", "ft"] {
        let yard = Boatyard::with(&[]);
        let new = [
            "new",
            "deck.toml",
            "--length",
            "11 ft 2 in",
            "--beam",
            "2.8 m",
        ];
        let output =
            yard.run(&[&new[..], &["--units", units, "--title", "A \"new\" deck"]].concat());
        assert_status(&output, 0);
        assert_eq!(out(&output), "deck.toml\n");
        let figures = yard.run(&["figures", "deck.toml", "--json"]);
        assert_status(&figures, 0);
        let value: Value = serde_json::from_slice(&figures.stdout).expect("nothing but JSON");
        assert_eq!(value["title"], "A \"new\" deck");
        let field = value["decks"][0]["field_m2"].as_f64().expect("a number");
        assert!(field > 1.0, "{units}: {field}");
    }
}

#[test]
fn a_new_layout_replaces_nothing_unless_forced() {
    let yard = Boatyard::with(&[("deck.toml", "mine")]);
    let new = ["new", "deck.toml", "--length", "3 m", "--beam", "2 m"];
    let output = yard.run(&new);
    assert_status(&output, 3);
    assert!(err(&output).contains("--force"), "{}", err(&output));
    assert_eq!(
        fs::read_to_string(yard.path("deck.toml")).expect("there"),
        "mine"
    );
    assert_status(&yard.run(&[&new[..], &["--force"]].concat()), 0);
    assert_ne!(
        fs::read_to_string(yard.path("deck.toml")).expect("there"),
        "mine"
    );
    assert_eq!(yard.contents(), ["deck.toml"]);
}

#[test]
fn a_new_layout_without_a_name_is_printed() {
    let yard = Boatyard::with(&[]);
    let output = yard.run(&["new", "--length", "3000", "--beam", "2000"]);
    assert_status(&output, 0);
    assert!(out(&output).contains("half_breadths"), "{}", out(&output));
    assert!(yard.contents().is_empty());
}

#[test]
fn a_plan_writes_every_paper_and_names_each() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let output = yard.run(&["plan", "deck.toml"]);
    assert_status(&output, 0);
    let mut named: Vec<String> = out(&output).lines().map(str::to_owned).collect();
    named.sort();
    let papers = [
        "check-sheets.pdf",
        "cutting-list.csv",
        "figures.csv",
        "figures.json",
        "first.png",
        "first.svg",
        "full-size.dxf",
        "full-size.svg",
        "pattern.png",
        "pattern.svg",
        "report.html",
        "reversed.png",
        "reversed.svg",
        "setting-out.csv",
        "setting-out.pdf",
        "shopping-list.pdf",
        "summary.md",
        "takeoff.md",
        "template.pdf",
        "underfoot.png",
        "underfoot.svg",
    ];
    let papers = papers.map(|name| format!("output/deck/{name}"));
    assert_eq!(named, papers);
    let contents = yard.contents();
    let files: Vec<&String> = contents
        .iter()
        .filter(|name| name.starts_with("output/deck/"))
        .collect();
    assert_eq!(
        files,
        papers.iter().collect::<Vec<_>>(),
        "no temporary is left"
    );
    let json = yard.run(&["figures", "deck.toml", "--json"]);
    assert!(fs::read(yard.path("output/deck/figures.json")).expect("there") == json.stdout);
    let summary = fs::read_to_string(yard.path("output/deck/summary.md")).expect("there");
    for name in papers.iter().filter_map(|name| name.rsplit('/').next()) {
        let is_listed = name == "summary.md" || summary.contains(name);
        assert!(is_listed, "{name} is not in: {summary}");
    }
}

#[test]
fn a_plan_again_replaces_its_own_papers_and_leaves_the_rest() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    fs::create_dir(yard.path("job")).expect("a folder");
    fs::write(yard.path("job/notes.txt"), "mine").expect("a note");
    fs::write(yard.path("job/summary.md"), "old").expect("an old summary");
    assert_status(&yard.run(&["plan", "deck.toml", "--out", "job"]), 0);
    assert_eq!(
        fs::read_to_string(yard.path("job/notes.txt")).expect("there"),
        "mine"
    );
    assert_ne!(
        fs::read_to_string(yard.path("job/summary.md")).expect("there"),
        "old"
    );
}

#[test]
fn a_sheet_is_svg_or_png_as_its_name_says() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let svg = yard.run(&["sheet", "deck.toml"]);
    assert_status(&svg, 0);
    assert!(out(&svg).starts_with("<svg"), "SVG where no name is given");
    for view in ["pattern", "first", "reversed"] {
        let name = format!("{view}.svg");
        let output = yard.run(&["sheet", "deck.toml", "--view", view, "--out", &name]);
        assert_status(&output, 0);
        assert_eq!(out(&output), format!("{name}\n"));
    }
    let first = fs::read(yard.path("first.svg")).expect("there");
    assert!(first != fs::read(yard.path("reversed.svg")).expect("there"));
    assert!(svg.stdout == fs::read(yard.path("pattern.svg")).expect("there"));
    let png = [
        "sheet",
        "deck.toml",
        "--deck",
        "main",
        "--dpi",
        "50",
        "--out",
        "a.PNG",
    ];
    assert_status(&yard.run(&png), 0);
    assert!(
        fs::read(yard.path("a.PNG"))
            .expect("there")
            .starts_with(b"\x89PNG\r\n")
    );
}

#[test]
fn the_schema_is_json() {
    let output = Boatyard::with(&[]).run(&["schema"]);
    assert_status(&output, 0);
    let value: Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert!(value["properties"]["deck"].is_object(), "{value}");
}

#[test]
fn every_command_has_help_with_an_example() {
    let yard = Boatyard::with(&[]);
    let overview = yard.run(&["--help"]);
    assert_status(&overview, 0);
    for command in ["new", "check", "figures", "plan", "sheet", "show", "schema"] {
        assert!(out(&overview).contains(command), "{command}");
        let help = yard.run(&[command, "--help"]);
        assert_status(&help, 0);
        let example = format!("Example: spile {command}");
        assert!(out(&help).contains(&example), "{}", out(&help));
    }
}

#[test]
fn a_reader_that_goes_away_ends_the_command_quietly() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let mut child = yard
        .command(&["sheet", "deck.toml"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("spile starts");
    // Closing the pipe before reading anything: the first write finds nobody.
    drop(child.stdout.take());
    let mut said = String::new();
    let mut stderr = child.stderr.take().expect("a pipe");
    stderr.read_to_string(&mut said).expect("text");
    let status = child.wait().expect("it ends");
    assert_eq!(status.code(), Some(0), "{said}");
    assert!(!said.contains("panic") && !said.contains("rror"), "{said}");
}

#[test]
fn nothing_is_coloured_where_nobody_can_see_colour() {
    let yard = Boatyard::with(&[("deck.toml", &faulty())]);
    let output = yard.run(&["check", "deck.toml"]);
    assert!(!err(&output).contains('\u{1b}'), "{}", err(&output));
}

#[test]
fn the_layout_in_the_readme_has_no_fault() {
    let readme = readme();
    let (_, rest) = readme.split_once("```toml\n").expect("a layout");
    let (layout, _) = rest.split_once("```").expect("its end");
    let yard = Boatyard::with(&[("deck.toml", layout)]);
    let output = yard.run(&["check", "deck.toml"]);
    assert_status(&output, 0);
    assert_eq!(out(&output), "deck.toml: no fault found\n");
}

/// Whole layouts stand in it, and pieces of one; each piece is checked in the layout before it.
#[test]
fn what_the_measuring_guide_says_to_type_has_no_fault() {
    let guide = include_str!("../layouts/MEASURING.md");
    let frame = "title = \"Foredeck\"\nunits = \"mm\"\n[[deck]]\nid = \"foredeck\"\n";
    let edge = "[deck.outline]\nhalf_breadths = [[0, 0], [400, 520], [2400, 1050], [3000, 1060]]\n";
    let mut seen = 0;
    for piece in guide.split("```toml\n").skip(1) {
        let (piece, _) = piece.split_once("```").expect("its end");
        let layout = if piece.starts_with("title") {
            piece.to_owned()
        } else if piece.contains("[deck.outline]") {
            format!("{frame}{piece}")
        } else {
            format!("{frame}{edge}{piece}")
        };
        let yard = Boatyard::with(&[("deck.toml", &layout)]);
        let output = yard.run(&["check", "deck.toml"]);
        assert_status(&output, 0);
        assert_eq!(out(&output), "deck.toml: no fault found\n", "{layout}");
        seen += 1;
    }
    assert_eq!(seen, 5, "pieces of layouts");
}

#[test]
fn the_commands_in_the_readme_work_one_after_the_other() {
    let yard = Boatyard::with(&[]);
    let mut seen = 0;
    for line in readme().lines() {
        let Some((command, _)) = line
            .strip_prefix("| `spile ")
            .and_then(|rest| rest.split_once('`'))
        else {
            continue;
        };
        let (arguments, _) = command.split_once(" > ").unwrap_or((command, ""));
        // Quotes hold only what stands between them together, as in a shell.
        let arguments: Vec<&str> = arguments
            .split('"')
            .enumerate()
            .flat_map(|(index, part)| {
                if index % 2 == 1 {
                    vec![part]
                } else {
                    part.split_whitespace().collect()
                }
            })
            .collect();
        if arguments.first() == Some(&"show") {
            yard.shows(&arguments);
        } else {
            assert_status(&yard.run(&arguments), 0);
        }
        seen += 1;
    }
    assert_eq!(seen, 18, "each command is in the table");
}

#[test]
fn what_cannot_be_shown_is_said_and_nothing_is_served() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    fs::create_dir(yard.path("folder")).expect("a folder");
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("its address").port().to_string();
    for (arguments, status, said) in [
        (
            &["show", "folder", "--no-open"][..],
            3,
            "name a layout file in it",
        ),
        (
            &["show", "nowhere/deck.toml", "--no-open"],
            3,
            "there is no folder nowhere",
        ),
        (
            &["show", "deck.toml", "--no-open", "--port", &port],
            3,
            "leave --port out for a free one",
        ),
        (
            &["show", "deck.toml", "--no-open", "--port", "70000"],
            2,
            "--port",
        ),
    ] {
        let output = yard.run(arguments);
        assert_status(&output, status);
        assert!(err(&output).contains(said), "{}", err(&output));
        assert_eq!(out(&output), "");
    }
}

#[test]
fn the_checks_run_the_tests_as_the_readme_says() {
    let checks = include_str!("../.ci/run");
    let line = readme()
        .lines()
        .find(|line| line.trim_start().starts_with("cargo test"))
        .map(|line| line.trim().to_owned())
        .expect("the README says how to pass the tests");
    assert!(checks.contains(&format!("\n{line} 2>&1")), "{line}");
}

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    fs::read_to_string(path).expect("the README")
}

#[test]
fn a_template_says_what_it_takes_before_it_is_written() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let made = yard.run(&["template", "deck.toml", "--paper", "a3", "--half"]);
    assert_status(&made, 0);
    assert_eq!(out(&made), "template.pdf\n");
    let said = err(&made);
    let (counts, written) = said.split_once("pages on A3").expect("both are said");
    for paper in ["A4 ", "Tabloid ", "a roll of 610 mm ", "a roll of 914 mm "] {
        assert!(counts.contains(paper), "{said}");
    }
    assert!(written.contains("with lines, 2 before them"), "{said}");
    assert!(fs::read(yard.path("template.pdf")).is_ok_and(|file| file.starts_with(b"%PDF")));

    let roll = yard.run(&[
        "template",
        "deck.toml",
        "--roll",
        "36 in",
        "--out",
        "roll.pdf",
    ]);
    assert_status(&roll, 0);
    assert!(err(&roll).contains("lengths of roll"), "{}", err(&roll));
}

#[test]
fn what_was_measured_on_a_print_is_taken_as_a_length_or_as_a_share() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let made = |measured: &str| {
        let out = yard.run(&["template", "deck.toml", "--scale-x", measured]);
        assert_status(&out, 0);
        fs::read(yard.path("template.pdf")).expect("it was written")
    };
    let short = made("99.6 mm");
    assert_eq!(short, made("99.6"));
    assert_eq!(short, made("0.996"));
    assert_ne!(short, made("100"));
    let wrong = yard.run(&["template", "deck.toml", "--scale-y", "94 in"]);
    assert_status(&wrong, 2);
    assert!(err(&wrong).contains("no print at 100 %"), "{}", err(&wrong));
}

#[test]
fn half_a_template_is_refused_where_the_sides_differ() {
    let lopsided = DECK.replace("at = [1000, 0]", "at = [1000, 60]");
    let yard = Boatyard::with(&[("deck.toml", &lopsided)]);
    let refused = yard.run(&["template", "deck.toml", "--half"]);
    assert_status(&refused, 2);
    let said = err(&refused);
    assert!(said.contains("not the same on both sides"), "{said}");
    assert_eq!(yard.contents(), ["deck.toml"]);
}

#[test]
fn what_is_set_out_is_written_as_asked_and_wrong_marks_are_put_right() {
    let yard = Boatyard::with(&[("deck.toml", DECK)]);
    let marks = [
        "--mark", "A=0,-500", "--mark", "B=0,500", "--mark", "C=2000,0",
    ];
    let setout = |rest: &[&str]| {
        let mut arguments = vec!["setout", "deck.toml"];
        arguments.extend(rest);
        yard.run(&arguments)
    };
    let table = setout(&marks);
    assert_status(&table, 0);
    assert!(out(&table).contains("| First tie | Second tie | Side |"));
    assert!(err(&table).is_empty(), "{}", err(&table));
    for (file, begins) in [
        ("a.csv", "deck,row,order,"),
        ("a.MD", "# Setting out: "),
        ("a.pdf", "%PDF-"),
    ] {
        let written = setout(&[&marks[..], &["--out", file]].concat());
        assert_status(&written, 0);
        assert_eq!(out(&written), format!("{file}\n"));
        let bytes = fs::read(yard.path(file)).expect("it was written");
        assert!(bytes.starts_with(begins.as_bytes()), "{file}");
    }
    // Without marks it says what is missing, and how to have it.
    let without = setout(&[]);
    assert_status(&without, 0);
    assert!(err(&without).contains("--mark NAME=STATION,OFF"));

    let before = yard.contents();
    let two = ["--mark", "A=0,0", "--mark"];
    for (wrong, instead) in [
        (vec!["--mark", "A=0,0"], "--mark B=0,0"),
        ([&two[..], &["B=3,0"]].concat(), "put them well apart"),
        ([&two[..], &["A=2000,0"]].concat(), "as in A1 and A2"),
        (
            [&two[..], &["B=2600,0"]].concat(),
            "between station 0 mm and 2000 mm",
        ),
        ([&two[..], &["B=1000,0"]].concat(), "lies in an opening"),
        ([&two[..], &["B"]].concat(), "as in A=1200,-450"),
        ([&two[..], &["B=12"]].concat(), "NAME=STATION,OFF"),
        ([&two[..], &["B=12,wide"]].concat(), "wide"),
        ([&two[..], &["=12,0"]].concat(), "give it a name"),
        (vec!["--deck", "poop"], "the layout has \"main\""),
        (
            vec!["--out", "points.xls"],
            "end the name in .pdf, .csv or .md",
        ),
    ] {
        let output = setout(&wrong);
        assert_status(&output, 2);
        assert!(
            err(&output).contains(instead),
            "{wrong:?}: {}",
            err(&output)
        );
        assert_eq!(out(&output), "");
    }
    assert_eq!(yard.contents(), before);
}

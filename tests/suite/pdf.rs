//! PDF sheets: what is read of a page and where, and files that are damaged or were made to do harm.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use nameplate::spec_sheet::{self, Attribute, Role, Sheet, UnreadKind, pdf};
use nameplate::text::Source;
use serde_json::Value;
use sha2::Digest;

/// A file of one-page objects: `content` is drawn with Helvetica as `F` and Helvetica-Bold as `B`.
fn page(content: &str) -> Vec<u8> {
    pages(&[content], "")
}

/// Pages with what each draws; `more` goes into each page's dictionary.
fn pages(contents: &[&str], more: &str) -> Vec<u8> {
    let kids: Vec<String> = (0..contents.len())
        .map(|page| format!("{} 0 R", 10 + 2 * page))
        .collect();
    let mut objects = vec![
        (1, "<< /Type /Catalog /Pages 2 0 R >>".to_owned()),
        (2, format!("<< /Type /Pages /Count {} /Kids [{}] >>", contents.len(), kids.join(" "))),
        (3, "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>".to_owned()),
        (4, "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold /Encoding /WinAnsiEncoding >>".to_owned()),
    ];
    for (number, content) in contents.iter().enumerate() {
        let at = 10 + 2 * number;
        objects.push((
            at,
            format!(
                "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents {} 0 R {more} \
             /Resources << /Font << /F 3 0 R /B 4 0 R >> /XObject << /P 5 0 R >> >> >>",
                at + 1
            ),
        ));
        objects.push((
            at + 1,
            format!(
                "<< /Length {} >>\nstream\n{content}\nendstream",
                content.len()
            ),
        ));
    }
    let picture = "<< /Type /XObject /Subtype /Image /Width 8 /Height 8 /BitsPerComponent 8 /ColorSpace /DeviceGray \
                   /Filter /DCTDecode /Length 4 >>\nstream\n\u{7f}\u{7f}\u{7f}\u{7f}\nendstream";
    objects.push((5, picture.to_owned()));
    file(
        &objects
            .iter()
            .map(|(number, text)| (*number, text.clone().into_bytes()))
            .collect::<Vec<_>>(),
    )
}

/// A whole file of numbered objects.
fn file(objects: &[(usize, Vec<u8>)]) -> Vec<u8> {
    let mut bytes = b"%PDF-1.7\n".to_vec();
    let mut places = BTreeMap::new();
    for (number, object) in objects {
        places.insert(*number, bytes.len());
        bytes.extend(format!("{number} 0 obj\n").bytes());
        bytes.extend(object);
        bytes.extend(b"\nendobj\n");
    }
    let start = bytes.len();
    let mut table = String::from("xref\n0 1\n0000000000 65535 f \n");
    for (number, place) in &places {
        let _ = write!(table, "{number} 1\n{place:010} 00000 n \n");
    }
    let size = places.keys().max().map_or(1, |most| most + 1);
    let _ = write!(
        table,
        "trailer\n<< /Size {size} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n"
    );
    bytes.extend(table.bytes());
    bytes
}

fn read(bytes: Vec<u8>) -> (Source, Sheet) {
    let extract = pdf::extract(bytes);
    let source = Source::paged("a.pdf", extract.paged().unwrap());
    let sheet = spec_sheet::read_pages(&source, &extract.unread);
    (source, sheet)
}

/// Words at places of a page, each drawn by itself.
fn drawn(words: &[(f64, f64, &str)]) -> String {
    words.iter().fold(String::new(), |mut text, (x, y, words)| {
        let _ = writeln!(text, "BT /F 10 Tf {x} {y} Td ({words}) Tj ET");
        text
    })
}

/// The passages of a sheet with their roles.
fn passages(sheet: &Sheet) -> Vec<(Role, &str)> {
    sheet
        .passages
        .iter()
        .map(|passage| (passage.role, passage.text.as_str()))
        .collect()
}

// ---- places --------------------------------------------------------------------------------------

/// The widths are those of the font's public metrics, thousandths of its size (from memory): figures 556, blank 278,
/// V 667.
#[test]
fn a_figure_stands_in_its_box() {
    let (source, sheet) = read(page("BT /F 12 Tf 100 700 Td (Mains 230 V) Tj ET"));
    let claim = &sheet.claims[0];
    assert_eq!(
        (claim.attribute, claim.page.map(|page| page.get())),
        (Attribute::Voltage, Some(1))
    );
    let frame = source.pages().unwrap().frame(claim.at.clone()).unwrap();
    let before = source.pages().unwrap().frame(0..5).unwrap();
    assert!((before.x0 - 100.0).abs() < 0.1, "{before:?}");
    assert!(
        (frame.x1 - frame.x0 - (3.0 * 556.0 + 278.0 + 667.0) / 1000.0 * 12.0).abs() < 0.2,
        "{frame:?}"
    );
    assert!(
        frame.y0 < 700.0 && frame.y0 > 695.0 && frame.y1 > 705.0 && frame.y1 < 712.0,
        "{frame:?}"
    );
}

#[test]
fn a_page_on_its_side_is_read_as_it_is_shown() {
    let sideways = pages(
        &["BT /F 10 Tf 0 1 -1 0 200 100 Tm (Power 55 W) Tj ET"],
        "/Rotate 90",
    );
    let (source, sheet) = read(sideways);
    assert_eq!(source.text().trim(), "Power 55 W");
    let frame = source
        .pages()
        .unwrap()
        .frame(sheet.claims[0].at.clone())
        .unwrap();
    // Shown, the page is 792 wide and 612 high, and the words run from left to right.
    assert!(frame.x1 > frame.x0 + frame.height(), "{frame:?}");
    assert!(frame.x1 < 792.0 && frame.y1 < 612.0, "{frame:?}");
}

#[test]
fn each_page_has_its_number() {
    let (_, sheet) = read(pages(
        &[
            &drawn(&[(72.0, 700.0, "Power 55 W")]),
            "",
            &drawn(&[(72.0, 700.0, "Depth 8 ft")]),
        ],
        "",
    ));
    let places: Vec<(Option<u32>, Attribute)> = sheet
        .claims
        .iter()
        .map(|claim| (claim.page.map(|page| page.get()), claim.attribute))
        .collect();
    assert_eq!(
        places,
        [(Some(1), Attribute::Power), (Some(3), Attribute::Depth)]
    );
    assert_eq!(sheet.unread, []);
}

// ---- the order of reading ------------------------------------------------------------------------

#[test]
fn columns_are_read_one_after_the_other() {
    let left = [
        "Works in ponds",
        "that are down to",
        "8 ft deep and",
        "cold in winter.",
    ];
    let right = [
        "The compressor",
        "draws 55 W on",
        "115 V and hums",
        "at 40 dB(A).",
    ];
    let column = |x: f64, lines: &[&'static str]| -> Vec<(f64, f64, &str)> {
        lines
            .iter()
            .zip(0..)
            .map(|(line, row)| (x, 700.0 - 12.0 * f64::from(row), *line))
            .collect()
    };
    let mut words = column(72.0, &left);
    words.extend(column(320.0, &right));
    let (source, sheet) = read(page(&drawn(&words)));
    assert!(!source.text().contains('\t'), "{}", source.text());
    assert_eq!(
        passages(&sheet),
        [
            (
                Role::Text,
                "Works in ponds that are down to 8 ft deep and cold in winter."
            ),
            (
                Role::Text,
                "The compressor draws 55 W on 115 V and hums at 40 dB(A)."
            ),
        ]
    );
}

#[test]
fn a_table_is_read_across() {
    let rows = [
        ("Depth", "8 ft", "12 ft"),
        ("Power", "55 W", "80 W"),
        ("Air", "", "2.2 cfm"),
        ("Sound", "40 dB(A)", "44 dB(A)"),
    ];
    let mut words = Vec::new();
    for ((head, one, other), row) in rows.iter().zip(0..) {
        let y = 700.0 - 14.0 * f64::from(row);
        words.push((72.0, y, *head));
        words.push((200.0, y, *one));
        words.push((300.0, y, *other));
    }
    let (_, sheet) = read(page(&drawn(&words)));
    let cell = |text: &str| {
        sheet
            .passages
            .iter()
            .find(|passage| passage.text == text)
            .map(|passage| passage.role)
    };
    assert!(
        matches!(
            cell("2.2 cfm"),
            Some(Role::Cell {
                row: 2,
                column: 2,
                ..
            })
        ),
        "{:?}",
        passages(&sheet)
    );
    assert!(
        matches!(
            cell("40 dB(A)"),
            Some(Role::Cell {
                row: 3,
                column: 1,
                ..
            })
        ),
        "{:?}",
        passages(&sheet)
    );
}

#[test]
fn a_broken_word_is_whole_and_a_broken_code_is_not_changed() {
    let lines = [
        (72.0, 700.0, "Two dif-"),
        (72.0, 688.0, "fusers, 12 lb each, as DT-"),
        (72.0, 676.0, "0800 at 1-"),
        (72.0, 664.0, "2 m"),
    ];
    let (_, sheet) = read(page(&drawn(&lines)));
    assert_eq!(
        passages(&sheet),
        [(Role::Text, "Two diffusers, 12 lb each, as DT-0800 at 1-2 m")]
    );
}

#[test]
fn headings_are_larger_or_bold() {
    let content = "BT /F 20 Tf 72 740 Td (Rill One) Tj ET BT /B 10 Tf 72 700 Td (Figures) Tj ET \
                   BT /F 10 Tf 72 686 Td (It draws 55 W and works down to 8 ft.) Tj ET \
                   BT /F 10 Tf 72 674 Td (The cabinet stays ashore.) Tj ET";
    let (_, sheet) = read(page(content));
    assert_eq!(
        passages(&sheet),
        [
            (Role::Heading(1), "Rill One"),
            (Role::Heading(3), "Figures"),
            (
                Role::Text,
                "It draws 55 W and works down to 8 ft. The cabinet stays ashore."
            ),
        ]
    );
}

#[test]
fn raised_figures_are_exponents_and_marks() {
    let content =
        "BT /F 10 Tf 72 700 Td (Up to 800 m) Tj 6 Tf 4 Ts (2) Tj 10 Tf 0 Ts ( of water) Tj ET";
    let (_, sheet) = read(page(
        &content
            .replace("6 Tf", "/F 6 Tf")
            .replace("10 Tf 0", "/F 10 Tf 0"),
    ));
    assert_eq!(passages(&sheet), [(Role::Text, "Up to 800 m² of water")]);
    assert_eq!(sheet.claims[0].attribute, Attribute::Area);
}

#[test]
fn the_mark_of_a_footnote_is_no_part_of_its_word() {
    let content = "BT /F 10 Tf 72 700 Td (It costs about $12 a month) Tj /F 6 Tf 4 Ts (1) Tj ET";
    let (_, sheet) = read(page(content));
    assert_eq!(
        passages(&sheet),
        [(Role::Text, "It costs about $12 a month ¹")]
    );
    assert_eq!(sheet.claims[0].attribute, Attribute::Cost);
}

/// Letters are often moved closer or apart, drawn in pieces, or drawn twice for weight.
#[test]
fn words_hold_together_however_they_are_drawn() {
    let content = "BT /F 10 Tf 72 700 Td [(Po) 30 (w) -20 (er) -278 (5) 10 (5) -250 (W)] TJ ET \
                   BT /F 10 Tf 72 680 Td (Depth 8 ft) Tj ET BT /F 10 Tf 72.2 680 Td (Depth 8 ft) Tj ET";
    let (source, _) = read(page(content));
    assert_eq!(
        source
            .text()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" "),
        "Power 55 W Depth 8 ft"
    );
}

// ---- what isn't read -----------------------------------------------------------------------------

#[test]
fn a_page_without_text_is_told_by_its_number() {
    let picture = "q 612 0 0 792 0 0 cm /P Do Q";
    let (_, sheet) = read(pages(
        &[
            &drawn(&[(72.0, 700.0, "Power 55 W")]),
            picture,
            "0 0 100 100 re f",
            "",
        ],
        "",
    ));
    let unread: Vec<(UnreadKind, Option<u32>)> = sheet
        .unread
        .iter()
        .map(|one| (one.what, one.page))
        .collect();
    assert_eq!(
        unread,
        [
            (UnreadKind::ScannedPage, Some(2)),
            (UnreadKind::ScannedPage, Some(3))
        ]
    );
    let beside = format!(
        "q 200 0 0 200 72 300 cm /P Do Q {}",
        drawn(&[(72.0, 700.0, "Power 55 W")])
    );
    let (_, sheet) = read(page(&beside));
    assert_eq!(
        sheet.unread.iter().map(|one| one.what).collect::<Vec<_>>(),
        [UnreadKind::Picture]
    );
}

/// What the program says of files in a folder of their own: the kinds of what wasn't read, and the report.
fn audit(files: &[(&str, Vec<u8>)]) -> (BTreeMap<String, Vec<String>>, Value) {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    let mut names: Vec<&str> = files.iter().map(|(name, _)| *name).collect();
    if names.len() > 20 {
        names = vec!["."];
    }
    let report = run(folder.path(), &names, "json");
    let report: Value = serde_json::from_str(&report).unwrap();
    let sheets = report["sheets"].as_array().unwrap().iter();
    let unread = sheets.map(|sheet| {
        let unread = sheet["unread"].as_array().unwrap().iter();
        let kinds = unread.map(|one| one["what"].as_str().unwrap().to_owned());
        (sheet["file"].as_str().unwrap().to_owned(), kinds.collect())
    });
    (unread.collect(), report)
}

fn run(folder: &Path, paths: &[&str], format: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("audit")
        .args(["--format", format, "--as-of", "2026-05-02"])
        .args(paths)
        .current_dir(folder)
        .output()
        .unwrap();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{:?}: {complaint}",
        output.status
    );
    assert_eq!(complaint, "");
    String::from_utf8(output.stdout).unwrap()
}

fn kept(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages");
    std::fs::read(folder.join(name)).unwrap()
}

/// A stream that says a lot with little: deflate's fixed codes, one byte and then copies of 258 bytes of it
/// (RFC 1951, 3.2.6).
fn bomb(copies: usize) -> Vec<u8> {
    let mut bytes = vec![0x78, 0x9c];
    let (mut held, mut count) = (0_u32, 0);
    let mut put = |code: u32, length: u32, bytes: &mut Vec<u8>| {
        held |= code << count;
        count += length;
        while count >= 8 {
            bytes.push(held as u8);
            held >>= 8;
            count -= 8;
        }
    };
    // The last block, with fixed codes.
    put(0b011, 3, &mut bytes);
    // Codes stand with their first bit first: a blank is 0x30 + 32 in 8 bits.
    let flipped = |code: u32, length: u32| {
        (0..length).fold(0, |all, bit| {
            all | ((code >> bit) & 1) << (length - 1 - bit)
        })
    };
    put(flipped(0x30 + 32, 8), 8, &mut bytes);
    for _ in 0..copies {
        // Length 258 is symbol 285, 0xC0 + 5 in 8 bits; distance 1 is symbol 0 in 5 bits.
        put(flipped(0xC0 + 5, 8), 8, &mut bytes);
        put(0, 5, &mut bytes);
    }
    put(0, 7 + 7, &mut bytes);
    bytes.extend([0; 4]);
    bytes
}

fn with_stream(dictionary: &str, stream: &[u8]) -> Vec<u8> {
    let mut content = format!("<< {dictionary} /Length {} >>\nstream\n", stream.len()).into_bytes();
    content.extend(stream);
    content.extend(b"\nendstream");
    file(&[
        (1, b"<< /Type /Catalog /Pages 2 0 R >>".to_vec()),
        (2, b"<< /Type /Pages /Count 1 /Kids [3 0 R] >>".to_vec()),
        (
            3,
            b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R >>".to_vec(),
        ),
        (4, content),
    ])
}

#[test]
fn what_is_no_sheet_any_more_is_told() {
    let mut looped = page(&drawn(&[(72.0, 700.0, "Power 55 W")]));
    let start = memchr::memmem::find(&looped, b"xref\n").unwrap();
    let trailer = memchr::memmem::rfind(&looped, b"/Root").unwrap();
    looped.splice(trailer..trailer, format!("/Prev {start} ").bytes());
    let cut = std::fs::read(corpus().join("02-printed-web-page.pdf")).unwrap();
    let (unread, _) = audit(&[
        ("empty.pdf", Vec::new()),
        (
            "begins.pdf",
            b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\nand then nothing of the kind".to_vec(),
        ),
        ("cut.pdf", cut[..200].to_vec()),
        ("locked.pdf", kept("locked.pdf")),
        ("restricted.pdf", kept("restricted.pdf")),
        (
            "bomb.pdf",
            with_stream("/Filter /FlateDecode", &bomb(6_000_000)),
        ),
        ("looped.pdf", looped),
        ("scan.pdf", page("q 612 0 0 792 0 0 cm /P Do Q")),
        (
            "own-parent.pdf",
            file(&[
                (1, b"<< /Type /Catalog /Pages 2 0 R >>".to_vec()),
                (
                    2,
                    b"<< /Type /Pages /Count 9 /Kids [2 0 R 2 0 R] /Parent 2 0 R >>".to_vec(),
                ),
            ]),
        ),
    ]);
    let of = |name: &str| unread[name].iter().map(String::as_str).collect::<Vec<_>>();
    for name in ["empty.pdf", "begins.pdf", "cut.pdf", "own-parent.pdf"] {
        assert_eq!(of(name), ["damaged"], "{name}");
    }
    assert_eq!(of("locked.pdf"), ["encrypted"]);
    assert_eq!(of("bomb.pdf"), ["too-much-work"]);
    assert_eq!(of("scan.pdf"), ["scanned-page"]);
    // Both of these can be read.
    assert_eq!(of("restricted.pdf"), [""; 0]);
    assert_eq!(of("looped.pdf"), [""; 0]);
}

/// Eleven forms, each of which draws the next twelve times, so that the last would be drawn 12¹¹ times.
#[test]
#[ignore = "takes the 20 seconds that a file is given: cargo test --test suite what_takes_too_long_is_given_up -- --ignored"]
fn what_takes_too_long_is_given_up() {
    const FORMS: usize = 11;
    let form = |number: usize| {
        let content = match number {
            FORMS => "q 1 0 0 1 0 0 cm Q".to_owned(),
            _ => "/N Do ".repeat(12),
        };
        format!(
            "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /N {} 0 R >> >> \
             /Length {} >>\nstream\n{content}\nendstream",
            10 + number + 1,
            content.len()
        )
    };
    let draws = "/N Do";
    let mut objects = vec![
        (1, "<< /Type /Catalog /Pages 2 0 R >>".to_owned()),
        (2, "<< /Type /Pages /Count 1 /Kids [3 0 R] >>".to_owned()),
        (
            3,
            "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R \
             /Resources << /XObject << /N 11 0 R >> >> >>"
                .to_owned(),
        ),
        (
            4,
            format!("<< /Length {} >>\nstream\n{draws}\nendstream", draws.len()),
        ),
    ];
    objects.extend((1..=FORMS).map(|number| (10 + number, form(number))));
    let objects: Vec<(usize, Vec<u8>)> = objects
        .into_iter()
        .map(|(number, text)| (number, text.into_bytes()))
        .collect();
    let began = std::time::Instant::now();
    let (unread, _) = audit(&[("deep.pdf", file(&objects))]);
    assert_eq!(unread["deep.pdf"], ["too-much-work"]);
    let took = began.elapsed().as_secs();
    assert!((10..40).contains(&took), "{took} s");
}

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets/pdf")
}

/// Two hundred files with bytes changed, cut out, doubled and moved; the same ones in each run.
#[test]
fn damaged_files_never_take_the_program_with_them() {
    let mut seed = 0x2545_f491_4f6c_dd1d_u64;
    let mut next = move |below: usize| {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        (seed % below.max(1) as u64) as usize
    };
    let names = [
        "01-two-columns.pdf",
        "02-printed-web-page.pdf",
        "03-plain-paper.pdf",
        "04-two-pages.pdf",
    ];
    let whole: Vec<Vec<u8>> = names
        .iter()
        .map(|name| std::fs::read(corpus().join(name)).unwrap())
        .collect();
    let mutated: Vec<(String, Vec<u8>)> = (0..200)
        .map(|number| {
            let mut bytes = whole[number % whole.len()].clone();
            for _ in 0..=next(12) {
                let at = next(bytes.len());
                let until = (at + next(60)).min(bytes.len());
                match next(5) {
                    0 => bytes[at] = next(256) as u8,
                    1 => bytes[at] ^= 1 << next(8),
                    2 => drop(bytes.drain(at..until)),
                    3 => {
                        let part = bytes[at..until].to_vec();
                        bytes.splice(at..at, part);
                    }
                    _ => {
                        // Figures are places, lengths and counts.
                        let digit = bytes[at..].iter().position(u8::is_ascii_digit);
                        if let Some(digit) = digit {
                            bytes[at + digit] = b'0' + next(10) as u8;
                        }
                    }
                }
                if bytes.is_empty() {
                    break;
                }
            }
            (format!("{number:03}.pdf"), bytes)
        })
        .collect();
    let files: Vec<(&str, Vec<u8>)> = mutated
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.clone()))
        .collect();
    let (unread, report) = audit(&files);
    // Most are read in spite of it; what is left out states nothing any more.
    let claims = report["claims"].as_array().unwrap().len();
    assert!(
        unread.len() > 150 && claims > 1000,
        "{} sheets, {claims} claims",
        unread.len()
    );
}

// ---- reports -------------------------------------------------------------------------------------

#[test]
fn every_report_names_the_page() {
    let sheet = drawn(&[
        (
            72.0,
            700.0,
            "Rill One, a package for ponds down to 90 ft on 3 W",
        ),
        (
            72.0,
            650.0,
            "It turns 5 acres over 40 times a day with 0.2 cfm.",
        ),
    ]);
    let bytes = pages(&["", &sheet], "");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("rill.pdf"), &bytes).unwrap();
    let json: Value = serde_json::from_str(&run(folder.path(), &["rill.pdf"], "json")).unwrap();
    let schema: Value = serde_json::from_str(nameplate::report::json::SCHEMA).unwrap();
    let errors: Vec<String> = jsonschema::validator_for(&schema)
        .unwrap()
        .iter_errors(&json)
        .map(|one| one.to_string())
        .collect();
    assert_eq!(errors, [""; 0]);
    let hash = sha2::Sha256::digest(&bytes)
        .iter()
        .fold("sha256:".to_owned(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        });
    assert_eq!(json["sheets"][0]["hash"], hash.as_str());
    let findings = json["findings"].as_array().unwrap();
    assert!(!findings.is_empty());
    for finding in findings {
        assert_eq!(
            (&finding["line"], &finding["byte_start"]),
            (&Value::Null, &Value::Null),
            "{finding}"
        );
    }
    assert!(findings.iter().any(|finding| finding["page"] == 2
        && finding["box"].as_array().is_some_and(|all| all.len() == 4)));
    for claim in json["claims"].as_array().unwrap() {
        assert_eq!(
            (&claim["line"], &claim["page"]),
            (&Value::Null, &Value::from(2)),
            "{claim}"
        );
        assert_eq!(claim["box"].as_array().map(Vec::len), Some(4), "{claim}");
    }
    for format in [
        "terminal",
        "markdown",
        "html",
        "junit",
        "workflow-commands",
        "code-quality",
    ] {
        let text = run(folder.path(), &["rill.pdf"], format).to_lowercase();
        assert!(text.contains("page 2"), "{format}: {text}");
        assert!(!text.contains("rill.pdf, line"), "{format}: {text}");
        assert!(!text.contains("rill.pdf,line"), "{format}: {text}");
    }
    let sarif: Value = serde_json::from_str(&run(folder.path(), &["rill.pdf"], "sarif")).unwrap();
    let results = sarif["runs"][0]["results"].as_array().unwrap();
    assert_eq!(results.len(), findings.len());
    for result in results {
        let location = &result["locations"][0];
        assert_eq!(
            location["physicalLocation"]["region"],
            Value::Null,
            "{location}"
        );
        assert!(location["properties"]["page"].is_number(), "{location}");
    }
    let aloud = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "rill.pdf", "--read-aloud"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(String::from_utf8_lossy(&aloud.stdout).contains("page 2"));
}

/// A correction changes bytes, and a page's text has none in its file.
#[test]
fn no_correction_is_offered_for_a_page() {
    let folder = tempfile::tempdir().unwrap();
    let catalog = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound");
    let says = "It draws 9 W and works down to 40 ft.";
    std::fs::write(
        folder.path().join("sheet.pdf"),
        page(&drawn(&[(72.0, 700.0, says)])),
    )
    .unwrap();
    std::fs::write(folder.path().join("sheet.txt"), says).unwrap();
    let corrections = |sheet: &str| -> Vec<bool> {
        let paths = [catalog.to_str().unwrap(), sheet, "--package", "heron-two"];
        let report: Value = serde_json::from_str(&run(folder.path(), &paths, "json")).unwrap();
        let findings = report["findings"].as_array().unwrap().iter();
        let own = findings.filter(|finding| finding["file"] == sheet);
        own.map(|finding| finding["correction"].is_object())
            .collect()
    };
    // The same words in a text have some.
    assert!(corrections("sheet.txt").contains(&true));
    let on_page = corrections("sheet.pdf");
    assert!(
        !on_page.is_empty() && !on_page.contains(&true),
        "{on_page:?}"
    );
}

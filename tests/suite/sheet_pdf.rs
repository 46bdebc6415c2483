//! Spec sheets in PDF: read in a process of its own, whatever their bytes.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use lopdf::content::{Content, Operation};
use lopdf::{Document, Object, Stream, dictionary};
use nameplate::spec_sheet::{self, Kind, Sheet, UnreadKind};
use nameplate::text::Source;

use super::sheet_robustness::{Numbers, mutated};

/// A PDF with pages of lines: place, size of the font, text.
fn pdf(pages: &[&[(f32, f32, f32, &str)]]) -> Vec<u8> {
    let contents: Vec<Vec<u8>> = pages
        .iter()
        .map(|lines| {
            let mut operations = Vec::new();
            for &(x, y, size, text) in *lines {
                operations.push(Operation::new("BT", vec![]));
                operations.push(Operation::new("Tf", vec!["F1".into(), size.into()]));
                operations.push(Operation::new("Td", vec![x.into(), y.into()]));
                operations.push(Operation::new("Tj", vec![Object::string_literal(text)]));
                operations.push(Operation::new("ET", vec![]));
            }
            Content { operations }.encode().unwrap()
        })
        .collect();
    document(contents)
}

/// A PDF whose pages have these contents.
fn document(contents: Vec<Vec<u8>>) -> Vec<u8> {
    let mut document = Document::with_version("1.5");
    let parent = document.new_object_id();
    let font = document.add_object(dictionary! { "Type" => "Font", "Subtype" => "Type1", "BaseFont" => "Helvetica" });
    let resources = document.add_object(dictionary! { "Font" => dictionary! { "F1" => font } });
    let kids: Vec<Object> = contents
        .into_iter()
        .map(|content| {
            let stream = document.add_object(Stream::new(dictionary! {}, content));
            document.add_object(dictionary! { "Type" => "Page", "Parent" => parent, "Contents" => stream }).into()
        })
        .collect();
    let count = kids.len() as i64;
    let tree = dictionary! {
        "Type" => "Pages", "Kids" => kids, "Count" => count, "Resources" => resources,
        "MediaBox" => vec![0.into(), 0.into(), 595.into(), 842.into()],
    };
    document.objects.insert(parent, Object::Dictionary(tree));
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => parent });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

/// Placed text of a PDF, as the program gives it through its other process.
fn placed(folder: &Path, bytes: &[u8]) -> String {
    let path = folder.join("sheet.pdf");
    std::fs::write(&path, bytes).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate")).arg("placed-text").arg(&path).output().unwrap();
    assert!(output.status.success(), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}

fn read(folder: &Path, bytes: &[u8]) -> (Source, Sheet) {
    let source = Source::new("sheet.pdf", placed(folder, bytes).into_bytes());
    let sheet = spec_sheet::read(Kind::Pdf, &source);
    (source, sheet)
}

fn small() -> Vec<u8> {
    pdf(&[
        &[
            (72.0, 760.0, 18.0, "Otter Mill Water: the Mill Pair"),
            (72.0, 730.0, 11.0, "Aerates ponds up to 1/4 acre and 6 ft deep, and moves 1,500 GPM of"),
            (72.0, 716.0, 11.0, "water for less than $5 a month at 15 cents per kWh."),
            (72.0, 680.0, 11.0, "Max. pressure"),
            (260.0, 680.0, 11.0, "5 psi"),
            (72.0, 664.0, 11.0, "Shipping weight"),
            (260.0, 664.0, 11.0, "42 lb"),
        ],
        &[(72.0, 700.0, 11.0, "44 dBA @ 10 ft")],
    ])
}

#[test]
fn figures_have_their_page_and_box() {
    let scratch = tempfile::tempdir().unwrap();
    let (source, sheet) = read(scratch.path(), &small());
    let shown: Vec<(&str, &str, Option<u32>)> = sheet
        .claims
        .iter()
        .map(|claim| (claim.attribute.as_str(), source.slice(claim.at.clone()), claim.page))
        .collect();
    assert_eq!(
        shown,
        [
            ("area", "1/4 acre", Some(1)),
            ("depth", "6 ft", Some(1)),
            ("volume-flow-water", "1,500 GPM", Some(1)),
            ("cost", "$5 a month", Some(1)),
            ("pressure", "5 psi", Some(1)),
            ("mass", "42 lb", Some(1)),
            ("sound", "44 dBA", Some(2)),
        ]
    );
    let pressure = sheet.claims[4].bounds.unwrap();
    assert!(pressure.left == 260.0 && pressure.bottom < 680.0 && pressure.top > 680.0, "{pressure:?}");
    // Helvetica's `5 psi` is 2.168 sizes wide: 0.556, 0.278, 0.556, 0.500, 0.222 and kerning none (Adobe's core font metrics, from memory).
    assert!((pressure.right - 260.0 - 11.0 * 2.112).abs() < 1.0, "{pressure:?}");
    assert!(sheet.unread.is_empty(), "{:?}", sheet.unread);
}

#[test]
fn pages_without_text_and_other_bytes_are_told() {
    let scratch = tempfile::tempdir().unwrap();
    let kinds = |bytes: &[u8]| -> Vec<(UnreadKind, Option<u32>)> {
        let (_, sheet) = read(scratch.path(), bytes);
        sheet.unread.iter().map(|one| (one.what, one.page)).collect()
    };
    let scan = document(vec![b"BT /F1 11 Tf 72 700 Td (6 ft deep) Tj ET".to_vec(), b"0 0 100 100 re f".to_vec(), b" ".to_vec()]);
    assert_eq!(kinds(&scan), [(UnreadKind::ScannedPage, Some(2))]);
    assert_eq!(kinds(b""), [(UnreadKind::Damaged, None)]);
    assert_eq!(kinds(b"%PDF-1.7\n"), [(UnreadKind::Damaged, None)]);
    assert_eq!(kinds(&vec![b'7'; 100_000]), [(UnreadKind::Damaged, None)]);
    // The bytes of a PDF that nobody took apart aren't taken for text.
    let source = Source::new("sheet.pdf", scan);
    assert_eq!(spec_sheet::read(Kind::Pdf, &source).unread[0].what, UnreadKind::Kind);
}

#[test]
fn an_encrypted_file_is_told() {
    use lopdf::{EncryptionState, EncryptionVersion, Permissions};
    let scratch = tempfile::tempdir().unwrap();
    let mut document = Document::load_mem(&small()).unwrap();
    document.trailer.set("ID", vec![Object::string_literal("an id"), Object::string_literal("an id")]);
    let version = EncryptionVersion::V2 {
        document: &document,
        owner_password: "owner",
        user_password: "user",
        key_length: 128,
        permissions: Permissions::all(),
    };
    let state = EncryptionState::try_from(version).unwrap();
    document.encrypt(&state).unwrap();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    let (_, sheet) = read(scratch.path(), &bytes);
    let kinds: Vec<UnreadKind> = sheet.unread.iter().map(|one| one.what).collect();
    assert_eq!(kinds, [UnreadKind::Encrypted]);
    assert!(sheet.claims.is_empty());
}

/// A stream of a few kilobytes that unfolds to gigabytes.
#[test]
fn a_bomb_is_told_and_takes_neither_long_nor_all_memory() {
    let scratch = tempfile::tempdir().unwrap();
    // Nested: each turn of deflate folds noughts about a thousandfold.
    let mut content = vec![b' '; 1 << 26];
    for _ in 0..2 {
        let mut stream = Stream::new(dictionary! {}, content);
        stream.compress().unwrap();
        content = stream.content;
    }
    let mut document = Document::load_mem(&small()).unwrap();
    let bomb = Stream::new(
        dictionary! { "Filter" => vec![Object::Name(b"FlateDecode".to_vec()), Object::Name(b"FlateDecode".to_vec())] },
        content,
    );
    assert!(bomb.content.len() < 10_000, "{} bytes", bomb.content.len());
    let bomb = document.add_object(bomb);
    let many: Vec<Object> = std::iter::repeat_n(bomb.into(), 400).collect();
    let page = *document.get_pages().get(&1).unwrap();
    document.get_object_mut(page).unwrap().as_dict_mut().unwrap().set("Contents", many);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    let begun = Instant::now();
    let (_, sheet) = read(scratch.path(), &bytes);
    let kinds: Vec<UnreadKind> = sheet.unread.iter().map(|one| one.what).collect();
    assert!(kinds.contains(&UnreadKind::TooMuchWork) || kinds.contains(&UnreadKind::Damaged), "{kinds:?}");
    assert!(begun.elapsed() < Duration::from_secs(60), "{:?}", begun.elapsed());
}

/// Damage of every kind: the program answers each time, and what it answers is sound.
#[test]
fn two_hundred_damaged_files_are_answered() {
    let scratch = tempfile::tempdir().unwrap();
    let whole = small();
    let mut told = 0;
    for number in 0..200 {
        let mut numbers = Numbers(number);
        let mut bytes = mutated(&whole, &mut numbers);
        if numbers.below(4) == 0 {
            bytes.truncate(numbers.below(bytes.len()));
        }
        let (source, sheet) = read(scratch.path(), &bytes);
        told += usize::from(!sheet.unread.is_empty());
        for claim in &sheet.claims {
            assert!(!source.slice(claim.at.clone()).is_empty(), "{claim:?}");
            assert!(claim.page.is_some(), "{claim:?}");
        }
    }
    assert!(told > 20, "{told} of 200 were told as damaged");
}

//! How the work grows with what is read: counted and not timed, over doubled inputs.
//!
//! The program that is run here is one that counts what it does: `tests/run` builds it with the compiler's
//! instrumentation for profiles, which counts each branch taken in our code and in that of all libraries. It lies where
//! `NAMEPLATE_COUNTED` says. What the system and the language's own compiled library do isn't counted.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

/// Files by name.
type Files = Vec<(String, String)>;

/// One thing that there can be many of.
struct Case {
    name: String,
    /// How many of them the smallest of three runs has; the others have twice and four times as many.
    least: usize,
    files: Box<dyn Fn(usize) -> Files>,
    arguments: Vec<String>,
}

fn case(name: &str, least: usize, files: impl Fn(usize) -> Files + 'static) -> Case {
    Case {
        name: name.to_string(),
        least,
        files: Box::new(files),
        arguments: vec!["audit".into(), ".".into(), "--allow-empty".into()],
    }
}

impl Case {
    fn with(mut self, arguments: &[&str]) -> Case {
        self.name = format!("{} {}", self.name, arguments.join(" "));
        self.arguments
            .extend(arguments.iter().map(|one| (*one).to_string()));
        self
    }

    fn asked(mut self, arguments: &[&str]) -> Case {
        self.arguments = arguments.iter().map(|one| (*one).to_string()).collect();
        self
    }

    /// What one run does, in branches taken.
    fn work(&self, program: &Path, count: usize) -> Result<u64, String> {
        let folder = tempfile::tempdir().unwrap();
        let counts = tempfile::tempdir().unwrap();
        for (name, text) in (self.files)(count) {
            let path = folder.path().join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, text).unwrap();
        }
        let output = Command::new(program)
            .args(&self.arguments)
            .current_dir(folder.path())
            .env_remove("COLUMNS")
            .env("RAYON_NUM_THREADS", "1")
            .env("LLVM_PROFILE_FILE", counts.path().join("%p.profraw"))
            .output()
            .expect("runs");
        if !matches!(output.status.code(), Some(0 | 1)) {
            let said = String::from_utf8_lossy(&output.stderr);
            return Err(format!("{}, {count}: {} {said}", self.name, output.status));
        }
        let files = std::fs::read_dir(counts.path()).unwrap();
        let sum = files.map(|file| counted(&std::fs::read(file.unwrap().path()).unwrap()));
        let sum: u64 = sum.sum();
        assert!(sum > 0, "the program at NAMEPLATE_COUNTED counts nothing");
        Ok(sum)
    }

    /// How much more the second doubling costs than the first; what is done once whatever is read drops out.
    /// It is 2 for what is linear and 4 for what is quadratic.
    fn growth(&self, program: &Path) -> Result<(f64, [u64; 3]), String> {
        let work = |times| self.work(program, self.least * times);
        let works = [work(1)?, work(2)?, work(4)?];
        let [first, second, third] = works.map(|work| work as f64);
        Ok(((third - second) / (second - first), works))
    }
}

/// The sum of all counters of a raw profile, by the layout that LLVM's `InstrProfData.inc` gives (versions 9 and 10):
/// a head of 8-byte words, identifiers of binaries, a record of 64 bytes for each function, the counters.
fn counted(profile: &[u8]) -> u64 {
    let word = |at: usize| u64::from_le_bytes(profile[8 * at..8 * at + 8].try_into().unwrap());
    let version = word(1) & 0x00ff_ffff_ffff_ffff;
    assert!(matches!(version, 9 | 10), "a profile of version {version}");
    let head = if version == 9 { 14 } else { 16 };
    let [ids, functions, before, counters] = [2, 3, 4, 5].map(|at| word(at) as usize);
    let begin = 8 * head + ids + 64 * functions + before;
    let words = profile[begin..begin + 8 * counters].chunks_exact(8);
    words
        .map(|word| u64::from_le_bytes(word.try_into().unwrap()))
        .filter(|&count| count < 1 << 48)
        .sum()
}

/// More than this isn't n log n: from 2000 to 4000 things the logarithm grows by a tenth.
const MOST: f64 = 2.35;

/// What still grows faster, with many things told apart on one page: not cured yet.
const NOT_CURED: [&str; 5] = [
    "csv of rows",
    "md of columns",
    "md of packages",
    "txt of packages",
    "html of packages",
];

const HEAD: &str =
    "[catalog]\nformat = 1\n[site]\naltitude = \"120 m\"\ntariff = \"0.21 USD/kWh\"\n";

/// The parts that packages are made of here.
const PARTS: &str = r#"
[compressor.c]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "40 W", at = "15 kPa" }
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "10 kPa", flow = "56 L/min" },
  { pressure = "20 kPa", flow = "38 L/min" },
  { pressure = "32 kPa", flow = "0 L/min" },
]
max_pressure = "24 kPa"
sound = { is = "38 dB(A)", at = "1 m" }
inlet_filter = true
outlet = "1/2 in barb"
[diffuser.d]
flow = "8 to 45 L/min"
loss = [{ flow = "10 L/min", pressure = "2.1 kPa" }, { flow = "40 L/min", pressure = "3.0 kPa" }]
check_valve = true
inlet = "1/2 in barb"
[airline.a]
size = "1/2 in"
bore = "12.7 mm"
[manifold.m]
outlets = 2
valve = "ball"
outlet = "1/2 in barb"
[fitting.f]
from = "1/2 in barb"
to = "3/8 in barb"
[check-valve.v]
opening = "0.4 kPa"
[cabinet.b]
fan_flow = "60 m3/h"
receptacles = 2
[spare.s]
fits = ["c"]
"#;

/// A package of these parts.
fn package(id: &str, claims: &str) -> String {
    format!(
        "[package.{id}]\ncompressor = \"c\"\ndiffuser = {{ part = \"d\", count = 2 }}\nmanifold = \"m\"\n\
         [package.{id}.claim]\n{claims}\n\
         [[package.{id}.option]]\nid = \"o\"\nairline = {{ part = \"a\", length = \"20 m\", count = 2 }}\n"
    )
}

fn one(text: String) -> Files {
    vec![("catalog.toml".into(), text)]
}

fn many(count: usize, each: impl Fn(usize) -> String) -> String {
    (0..count).map(each).collect()
}

/// `each` so often behind the head and the parts.
fn listed(count: usize, each: impl Fn(usize) -> String) -> Files {
    one(format!("{HEAD}{PARTS}{}", many(count, each)))
}

/// The table of a kind of part from [`PARTS`], its keys only.
fn sound(kind: &str) -> &'static str {
    let (_, rest) = PARTS.split_once(&format!("[{kind}.")).unwrap();
    let (_, keys) = rest.split_once("]\n").unwrap();
    keys.split("\n[").next().unwrap()
}

const KINDS: [&str; 8] = [
    "compressor",
    "diffuser",
    "airline",
    "manifold",
    "fitting",
    "check-valve",
    "cabinet",
    "spare",
];

fn tables(cases: &mut Vec<Case>) {
    for kind in KINDS {
        cases.push(case(&format!("sound {kind}s"), 500, move |count| {
            listed(count, |n| format!("[{kind}.x{n}]\n{}\n", sound(kind)))
        }));
        cases.push(case(&format!("empty {kind}s"), 2000, move |count| {
            listed(count, |n| format!("[{kind}.x{n}]\n"))
        }));
        cases.push(case(
            &format!("{kind}s of unknown keys"),
            500,
            move |count| {
                listed(count, |n| {
                    format!("[{kind}.x{n}]\nbroe = 1\ntitel = \"x\"\n")
                })
            },
        ));
        cases.push(case(
            &format!("unknown keys of one {kind}"),
            500,
            move |count| {
                listed(1, |_| {
                    format!("[{kind}.x]\n{}", many(count, |n| format!("titel{n} = 1\n")))
                })
            },
        ));
        cases.push(case(&format!("{kind}s of one ID"), 500, move |count| {
            listed(count, |_| format!("[{kind}.x]\n{}\n", sound(kind)))
        }));
        cases.push(case(
            &format!("{kind}s replaced in a chain"),
            500,
            move |count| {
                listed(count, |n| {
                    format!(
                        "[{kind}.x{n}]\nreplaced_by = \"x{}\"\n{}\n",
                        n + 1,
                        sound(kind)
                    )
                })
            },
        ));
        cases.push(case(&format!("{kind}s of one number"), 500, move |count| {
            listed(count, |n| {
                format!("[{kind}.x{n}]\nsku = \"one\"\n{}\n", sound(kind))
            })
        }));
        cases.push(case(&format!("{kind}s that cite"), 500, move |count| {
            listed(count, |n| {
                format!(
                    "[{kind}.x{n}]\nsource = \"evidence.e{n}\"\n{}\n[evidence.e{n}]\nfile = \"e{n}.txt\"\n\
                     kind = \"own-test\"\ndate = 2026-04-11\ncovers = [\"{kind}.x{n}\"]\n",
                    sound(kind)
                )
            })
        }));
    }
    for table in ["sheet", "waiver"] {
        cases.push(case(&format!("empty {table} tables"), 8000, move |count| {
            listed(count, |_| format!("[[{table}]]\n"))
        }));
        cases.push(case(
            &format!("{table} tables of nonsense"),
            2000,
            move |count| listed(count, |n| format!("[[{table}]]\nfile{n} = 1\n")),
        ));
    }
    for table in ["evidence", "assumption", "package", "package.x.claim"] {
        let head = if table == "package.x.claim" {
            "[package.x]\n"
        } else {
            ""
        };
        cases.push(case(&format!("empty {table} tables"), 2000, move |count| {
            listed(count, |n| {
                format!("{}[{table}.x{n}]\n", if n == 0 { head } else { "" })
            })
        }));
    }
    cases.push(case("waivers of nothing", 500, |count| {
        listed(count, |n| {
            format!("[[waiver]]\nrule = \"kit.valves\"\non = \"package.x{n}\"\nreason = \"r\"\n")
        })
    }));
    cases.push(case("waivers of findings", 250, |count| {
        listed(count, |n| {
            format!(
                "[diffuser.x{n}]\nflow = \"8 to 45 L/min\"\n[[waiver]]\nrule = \"reference.unused\"\n\
                 on = \"diffuser.x{n}\"\nreason = \"r\"\n"
            )
        })
    }));
    cases.push(case("sheets that aren't there", 500, |count| {
        listed(count, |n| {
            format!("[[sheet]]\nfile = \"s{n}.md\"\npackage = \"p\"\n")
        })
    }));
    cases.push(case("sheets outside", 500, |count| {
        listed(count, |n| {
            format!("[[sheet]]\nfile = \"../s{n}.md\"\npackage = \"p\"\n")
        })
    }));
    cases.push(case("levels", 1000, |count| {
        listed(1, |_| {
            format!(
                "[level]\n{}",
                many(count, |n| format!("\"kit.x{n}\" = \"note\"\n"))
            )
        })
    }));
    cases.push(case("evidence that isn't there", 500, |count| {
        listed(count, |n| {
            format!(
                "[evidence.e{n}]\nfile = \"e{n}.txt\"\nkind = \"own-test\"\ndate = 2026-04-11\n"
            )
        })
    }));
    cases.push(case("citations of nothing", 500, |count| {
        listed(count, |n| {
            format!("[diffuser.x{n}]\nflow = \"8 to 45 L/min\"\nsource = \"evidence.none{n}\"\n")
        })
    }));
}

fn lists(cases: &mut Vec<Case>) {
    let rows = |count, row: fn(usize) -> String| many(count, |n| format!("  {},\n", row(n)));
    let in_package = move |keys: fn(String) -> String, row: fn(usize) -> String| {
        move |count: usize| {
            one(format!(
                "{HEAD}{PARTS}[package.p]\ncompressor = \"c\"\n{}\n",
                keys(rows(count, row))
            ))
        }
    };
    cases.push(case("points of one curve", 500, move |count| {
        let rows = many(count, |n| {
            format!(
                "  {{ pressure = \"{n} Pa\", flow = \"{} L/min\" }},\n",
                2 * count - n
            )
        });
        listed(1, |_| {
            let keys = sound("compressor");
            let (before, rest) = keys.split_once("curve = [").unwrap();
            let (_, after) = rest.split_once("\n]\n").unwrap();
            format!("[compressor.x]\n{before}{after}\ncurve = [\n{rows}]\n")
        })
    }));
    cases.push(case("points of one loss", 500, move |count| {
        let rows = many(count, |n| {
            format!(
                "  {{ flow = \"{} L/min\", pressure = \"{} Pa\" }},\n",
                n + 1,
                n + 10
            )
        });
        listed(1, |_| {
            format!("[diffuser.x]\nflow = \"8 to 45 L/min\"\nloss = [\n{rows}]\n")
        })
    }));
    cases.push(case(
        "uses of diffusers",
        250,
        in_package(
            |rows| format!("diffuser = [\n{rows}]\n"),
            |_| "{ part = \"d\", count = 2 }".into(),
        ),
    ));
    cases.push(case(
        "uses of unknown parts",
        250,
        in_package(
            |rows| format!("diffuser = [\n{rows}]\n"),
            |n| format!("\"x{n}\""),
        ),
    ));
    cases.push(case(
        "uses of compressors",
        250,
        in_package(
            |rows| {
                format!("diffuser = \"d\"\ncompressor2 = [\n{rows}]\n")
                    .replace("compressor2", "fittings")
            },
            |_| "\"f\"".into(),
        ),
    ));
    cases.push(case(
        "check valves of a package",
        250,
        in_package(
            |rows| format!("diffuser = \"d\"\ncheck_valves = [\n{rows}]\n"),
            |_| "\"v\"".into(),
        ),
    ));
    cases.push(case("options of one package", 200, |count| {
        one(format!(
            "{HEAD}{PARTS}[package.p]\ncompressor = \"c\"\ndiffuser = \"d\"\n{}",
            many(count, |n| format!(
                "[[package.p.option]]\nid = \"o{n}\"\nairline = {{ part = \"a\", length = \"20 m\" }}\n"
            ))
        ))
    }));
    cases.push(case("options of one ID", 500, |count| {
        one(format!(
            "{HEAD}{PARTS}[package.p]\ncompressor = \"c\"\ndiffuser = \"d\"\n{}",
            many(count, |_| "[[package.p.option]]\nid = \"o\"\n".into())
        ))
    }));
    cases.push(case("segments of a run", 250, |count| {
        let rows = many(count, |_| "{ part = \"a\", length = \"1 m\" }, ".into());
        one(format!(
            "{HEAD}{PARTS}[package.p]\ncompressor = \"c\"\ndiffuser = \"d\"\n[[package.p.option]]\nid = \"o\"\n\
             airline = {{ segments = [{rows}] }}\n[package.p.claim]\ndepth = \"1.2 m\"\n"
        ))
    }));
    cases.push(case("what an option allows", 100, |count| {
        let rows = many(count, |n| format!("{{ size = \"3/8 in\", up_to = \"{} m\" }}, ", n + 1));
        one(format!(
            "{HEAD}{PARTS}[package.p]\ncompressor = \"c\"\ndiffuser = \"d\"\n[[package.p.option]]\nid = \"o\"\n\
             allows = [{rows}]\n[package.p.claim]\ndepth = \"1.2 m\"\n"
        ))
    }));
    cases.push(case("variants of a compressor", 250, |count| {
        let rows = many(count, |_| {
            "[[compressor.c.variant]]\nvoltage = \"115 V\"\nfrequency = \"60 Hz\"\n".into()
        });
        one(format!("{HEAD}{PARTS}{rows}"))
    }));
    cases.push(case("services of a compressor", 500, |count| {
        let rows = many(count, |_| {
            "[[compressor.c.service]]\npart = \"s\"\nevery = \"2 year\"\n".into()
        });
        one(format!("{HEAD}{PARTS}{rows}"))
    }));
    cases.push(case("what a spare fits", 1000, |count| {
        let rows = many(count, |n| format!("\"c{n}\", "));
        one(format!("{HEAD}[spare.x]\nfits = [{rows}]\n"))
    }));
    cases.push(case("what a document covers", 1000, |count| {
        let rows = many(count, |n| format!("\"package.c{n}\", "));
        one(format!(
            "{HEAD}{PARTS}[evidence.x]\nfile = \"a\"\nkind = \"standard\"\ndate = 2026-01-01\ncovers = [{rows}]\n{}",
            many(count, |n| format!("[diffuser.x{n}]\nflow = \"8 to 45 L/min\"\nsource = \"evidence.x\"\n"))
        ))
    }));
    for (name, row) in [
        ("depths that hold", r#"depth = [ROWS "1 m", ]"#),
        ("depths that can't be", r#"depth = [ROWS "60 m", ]"#),
        ("depths that can't be by far", r#"depth = [ROWS "600 m", ]"#),
        ("areas that can't be", r#"area = [ROWS "600 acre", ]"#),
        (
            "flows that can't be",
            r#"flow = [ROWS { is = "900 cfm", at = "1 m" }, ]"#,
        ),
        ("watts that can't be", r#"power = [ROWS "1 W", ]"#),
        (
            "costs that can't be",
            r#"running_cost = [ROWS "0.01 USD/month", ]"#,
        ),
    ] {
        let (before, rest) = row.split_once("ROWS ").unwrap();
        let (row, after) = rest.rsplit_once(']').unwrap();
        cases.push(case(name, 200, move |count| {
            let claims = format!("{before}\n{}]{after}", many(count, |_| format!("{row}\n")));
            one(format!("{HEAD}{PARTS}{}", package("p", &claims)))
        }));
    }
}

fn packages(cases: &mut Vec<Case>) {
    let sound = r#"depth = "1.2 m"
area = "180 m2"
flow = { is = "40 L/min", at = "1.2 m" }
running_cost = "7.50 USD/month""#;
    let bad = "depth = \"30 m\"\narea = \"60 acre\"\nflow = \"80 cfm\"\npower = \"2 W\"\n";
    for (name, claims) in [
        ("sound packages", sound),
        ("packages that promise too much", bad),
    ] {
        let of = move |count: usize| listed(count, |n| package(&format!("p{n}"), claims));
        cases.push(case(name, 50, of));
        for format in [
            "json",
            "sarif",
            "junit",
            "markdown",
            "html",
            "code-quality",
            "workflow-commands",
        ] {
            cases.push(case(name, 50, of).with(&["--format", format]));
        }
        for more in [
            &["--verbose"][..],
            &["--quiet"],
            &["--read-aloud"],
            &["--ask"],
            &["--claims"],
            &["--statistics"],
            &["--format", "markdown", "--limit", "100000000"],
            &["--record", "record.jsonl"],
        ] {
            cases.push(case(name, 50, of).with(more));
        }
        cases.push(
            case(&format!("revise of {name}"), 50, move |count| {
                let before = of(count).remove(0).1;
                let after = before
                    .replace("1.2 m\"", "1.3 m\"")
                    .replace("60 acre", "70 acre");
                vec![
                    ("before/catalog.toml".into(), before),
                    ("after/catalog.toml".into(), after),
                ]
            })
            .asked(&["revise", "before", "after"]),
        );
        for format in ["json", "markdown", "html"] {
            cases.push(
                case(&format!("revise of {name} as {format}"), 50, move |count| {
                    let before = of(count).remove(0).1;
                    let after = before.replace("\"12.7 mm\"", "\"9.5 mm\"");
                    vec![
                        ("before/catalog.toml".into(), before),
                        ("after/catalog.toml".into(), after),
                    ]
                })
                .asked(&["revise", "before", "after", "--format", format]),
            );
        }
    }
    cases.push(case("packages of misspelt parts", 100, |count| {
        listed(count, |n| {
            package(&format!("p{n}"), "depth = \"1 m\"").replace("\"c\"", &format!("\"cx{n}\""))
        })
    }));
    cases.push(case("misspelt parts among many", 500, |count| {
        listed(count, |n| {
            format!(
                "[diffuser.tube-{n}]\nflow = \"8 to 45 L/min\"\n[package.p{n}]\ncompressor = \"c\"\ndiffuser = \"tub-{n}\"\n"
            )
        })
    }));
    cases.push(case("catalogs in one folder", 50, |count| {
        (0..count)
            .map(|n| {
                let text = format!("{HEAD}{PARTS}{}", package("p", "depth = \"1.2 m\""));
                (format!("c{n}/catalog.toml"), text)
            })
            .collect()
    }));
    cases.push(case("files of one catalog", 50, |count| {
        let mut files = one(format!("{HEAD}{PARTS}"));
        files.extend((0..count).map(|n| {
            (
                format!("f{n}.toml"),
                package(&format!("p{n}"), "depth = \"1.2 m\""),
            )
        }));
        files
    }));
    cases.push(
        case("corrections", 100, |count| {
            listed(count, |n| {
                format!("[diffuser.x{n}]\nflow = \"8 to 45 L/min\"\nchek_valve = true\n")
            })
        })
        .asked(&["amend", "."]),
    );
}

/// The faulty examples that are one file, each with its things so many times.
fn rules(cases: &mut Vec<Case>) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/faulty");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|one| one.unwrap().path())
        .collect();
    paths.sort();
    for path in paths {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let is_text = path.extension().is_some_and(|ending| ending == "toml");
        let Some(text) = std::fs::read_to_string(&path).ok().filter(|_| is_text) else {
            continue;
        };
        cases.push(case(&format!("example {name}"), 100, move |count| {
            one(copies(&text, count))
        }));
    }
}

/// A catalog's text with everything that has an ID so many times, each copy under IDs of its own.
fn copies(text: &str, count: usize) -> String {
    let mut head = String::new();
    let mut rest = String::new();
    let mut into_head = true;
    for line in text.lines() {
        if let Some(header) = line.trim_start().strip_prefix('[') {
            into_head = ["catalog]", "site]", "rating]", "level]", "assumption."]
                .iter()
                .any(|begin| header.starts_with(begin));
        }
        let to = if into_head { &mut head } else { &mut rest };
        let _ = writeln!(to, "{line}");
    }
    let headers = rest
        .lines()
        .filter_map(|line| line.trim().strip_prefix('['));
    let mut ids: Vec<String> = headers
        .filter_map(|header| {
            let name = header.trim_start_matches('[').split(']').next()?;
            Some(name.split('.').nth(1)?.to_string())
        })
        .collect();
    ids.sort();
    ids.dedup();
    let copy = |number: usize| {
        let mut copy = rest.clone();
        for id in &ids {
            for (before, after) in [("\"", "\""), (".", "]"), (".", "."), (".", "\"")] {
                copy = copy.replace(
                    &format!("{before}{id}{after}"),
                    &format!("{before}{id}-{number}{after}"),
                );
            }
        }
        copy
    };
    format!("{head}{}", many(count, copy))
}

fn sheets(cases: &mut Vec<Case>) {
    let page = |name: &'static str, ending: &'static str, least, text: fn(usize) -> String| {
        case(&format!("{ending} of {name}"), least, move |count| {
            vec![(format!("page.{ending}"), text(count))]
        })
    };
    for ending in ["md", "txt", "html"] {
        cases.push(page("depths that can't be", ending, 100, |count| {
            "Up to 95 ft deep. ".repeat(count)
        }));
        cases.push(page("depths on lines", ending, 100, |count| {
            "Up to 95 ft deep.\n\n".repeat(count)
        }));
        cases.push(page("depths that hold", ending, 100, |count| {
            "Up to 5 ft deep.\n\n".repeat(count)
        }));
        cases.push(page("figures on one line", ending, 250, |count| {
            many(count, |n| format!("{n} ft, "))
        }));
        cases.push(page("figures on lines", ending, 250, |count| {
            many(count, |n| format!("{n} L/min at {n} psi\n"))
        }));
        cases.push(page("words", ending, 1000, |count| {
            "pond water air and so on ".repeat(count)
        }));
        cases.push(page("letters", ending, 10000, |count| "x".repeat(count)));
        cases.push(page("blanks", ending, 10000, |count| {
            format!("5 ft{}deep", " ".repeat(count))
        }));
        cases.push(page("NULs", ending, 10000, |count| "\0".repeat(count)));
        cases.push(page("brackets", ending, 1000, |count| "([{<".repeat(count)));
        cases.push(page("packages", ending, 25, |count| {
            many(count, |n| {
                format!("# Mill pair {n}\n\nFor ponds up to 2 acres, 4 cfm, 6 ft deep.\n\n")
            })
        }));
        cases.push(page("numbers", ending, 1000, |count| {
            many(count, |n| format!("{n} "))
        }));
        cases.push(page("units", ending, 1000, |count| {
            "ft m acre psi cfm W ".repeat(count)
        }));
        cases.push(page("ranges", ending, 250, |count| {
            many(count, |n| format!("{n} to {} to ", n + 1))
        }));
        cases.push(page("comparisons", ending, 50, |count| {
            "Moves twice as much water as others at half the watts. ".repeat(count)
        }));
        cases.push(page("conditions", ending, 100, |count| {
            format!(
                "Up to 5 ft deep {}",
                "at 2 psi with 2 diffusers ".repeat(count)
            )
        }));
    }
    let table = |count: usize, cell: fn(usize) -> String| {
        let mut text = String::from("| Model | Depth | Area | Flow |\n| --- | --- | --- | --- |\n");
        text.push_str(&many(count, |n| {
            format!("| P{n} | {0} | {0} | {0} |\n", cell(n))
        }));
        text
    };
    cases.push(case("md of rows", 100, move |count| {
        vec![("page.md".into(), table(count, |n| format!("{n} ft")))]
    }));
    cases.push(case("md of columns", 100, |count| {
        let row = |each: fn(usize) -> String| {
            format!("|{}\n", many(count, |n| format!(" {} |", each(n))))
        };
        let text = [
            row(|n| format!("P{n}")),
            row(|_| "---".into()),
            row(|n| format!("{n} ft deep")),
            row(|n| format!("{n} acres")),
        ];
        vec![("page.md".into(), text.concat())]
    }));
    cases.push(page("nested lists", "md", 100, |count| {
        many(count, |n| format!("{}- 5 ft\n", "  ".repeat(n % 50)))
    }));
    cases.push(page("quotes", "md", 250, |count| ">".repeat(count)));
    cases.push(page("emphasis", "md", 1000, |count| {
        "*a **b ".repeat(count)
    }));
    cases.push(page("links", "md", 500, |count| "[a](b) [".repeat(count)));
    cases.push(page("footnotes", "md", 250, |count| {
        many(count, |n| format!("5 ft*{n}[^{n}]\n\n[^{n}]: at 2 m\n\n"))
    }));
    cases.push(page("stars", "md", 100, |count| {
        format!(
            "{}\n{}",
            "5 ft* ".repeat(count),
            "\\* at 2 m\n".repeat(count)
        )
    }));
    cases.push(page("table rows", "html", 100, |count| {
        format!(
            "<table><tr><th>Model<th>Depth</tr>{}</table>",
            many(count, |n| format!("<tr><td>P{n}<td>{n} ft</tr>"))
        )
    }));
    cases.push(page("table cells", "html", 100, |count| {
        format!(
            "<table><tr>{}</tr><tr>{}</tr></table>",
            many(count, |n| format!("<th>P{n}")),
            many(count, |n| format!("<td>{n} ft deep"))
        )
    }));
    cases.push(page("nested tables", "html", 100, |count| {
        "<table><tr><td>5 ft deep".repeat(count)
    }));
    cases.push(page("nested tags", "html", 500, |count| {
        "<div>".repeat(count)
    }));
    cases.push(page("attributes", "html", 250, |count| {
        many(count, |n| format!("<p a{n}=\"x\" b='y'>5 ft deep</p>"))
    }));
    cases.push(page("spans", "html", 100, |count| {
        format!(
            "<table><tr>{}</tr></table>",
            "<td colspan=9 rowspan=9>5 ft deep".repeat(count)
        )
    }));
    cases.push(page("rows", "csv", 100, |count| {
        format!(
            "model,depth,flow\n{}",
            many(count, |n| format!("P{n},{n} ft,4 cfm\n"))
        )
    }));
    cases.push(page("columns", "csv", 100, |count| {
        format!(
            "{}\n{}\n",
            many(count, |n| format!("depth {n} (ft),")),
            many(count, |n| format!("{n},"))
        )
    }));
    cases.push(page("quotes", "csv", 1000, |count| "\"\"\"".repeat(count)));
    cases.push(case("pages in one folder", 50, |count| {
        (0..count)
            .map(|n| {
                (
                    format!("p{n}.md"),
                    "# Pair\n\nFor ponds up to 2 acres and 6 ft deep.\n".into(),
                )
            })
            .collect()
    }));
    cases.push(case("pages of one package", 25, |count| {
        let mut files = listed(1, |_| package("p", "depth = \"1.2 m\""));
        files[0].1.push_str(&many(count, |n| {
            format!("[[sheet]]\nfile = \"p{n}.md\"\npackage = \"p\"\n")
        }));
        files.extend(
            (0..count).map(|n| (format!("p{n}.md"), "# Pair\n\nUp to 6 ft deep.\n".into())),
        );
        files
    }));
    cases.push(case("pages of as many packages", 25, |count| {
        let mut files = listed(count, |n| package(&format!("p{n}"), "depth = \"1.2 m\""));
        files[0].1.push_str(&many(count, |n| {
            format!("[[sheet]]\nfile = \"p{n}.md\"\npackage = \"p{n}\"\n")
        }));
        files.extend(
            (0..count).map(|n| (format!("p{n}.md"), "# Pair\n\nUp to 6 ft deep.\n".into())),
        );
        files
    }));
    for format in ["json", "sarif", "junit", "markdown", "html", "code-quality"] {
        cases.push(
            page("depths that can't be", "md", 100, |count| {
                "Up to 95 ft deep.\n\n".repeat(count)
            })
            .with(&["--format", format]),
        );
    }
}

fn texts(cases: &mut Vec<Case>) {
    let text = |name: &str, least, text: fn(usize) -> String| {
        case(name, least, move |count| {
            one(format!("{HEAD}{}", text(count)))
        })
    };
    cases.push(text("comments", 2000, |count| "# a\n".repeat(count)));
    cases.push(text("one long comment", 10000, |count| {
        format!("# {}", "a".repeat(count))
    }));
    cases.push(text("one long text", 10000, |count| {
        format!("[diffuser.d]\ntitle = \"{}\"\n", "a".repeat(count))
    }));
    cases.push(text("one long figure", 10000, |count| {
        format!("[diffuser.d]\nflow = \"{}\"\n", "1 ".repeat(count))
    }));
    cases.push(text("one long number", 10000, |count| {
        format!("[diffuser.d]\nflow = \"{} m\"\n", "1".repeat(count))
    }));
    cases.push(text("one list", 2000, |count| {
        format!("[diffuser.d]\nown = [{}]\n", "1, ".repeat(count))
    }));
    cases.push(text("deep lists", 1000, |count| {
        format!(
            "[diffuser.d]\nown = {}{}\n",
            "[".repeat(count),
            "]".repeat(count)
        )
    }));
    cases.push(text("open lists", 1000, |count| {
        format!("[diffuser.d]\nown = {}\n", "[".repeat(count))
    }));
    cases.push(text("open tables", 1000, |count| {
        format!("[diffuser.d]\nown = {}\n", "{ a = ".repeat(count))
    }));
    cases.push(text("dotted keys", 1000, |count| {
        format!("{}a = 1\n", "a.".repeat(count))
    }));
    cases.push(text("broken lines", 500, |count| "= = = =\n".repeat(count)));
    cases.push(text("broken headers", 500, |count| {
        "[diffuser.\n".repeat(count)
    }));
    cases.push(text("open quotes", 500, |count| "a = \"b\n".repeat(count)));
    cases.push(text("open long quotes", 500, |count| {
        "a = \"\"\"b\n".repeat(count)
    }));
    cases.push(text("markers of a conflict", 250, |count| {
        "<<<<<<< a\nx = 1\n=======\nx = 2\n>>>>>>> b\n".repeat(count)
    }));
    cases.push(text("bytes of no text", 2000, |count| {
        "\u{0}\u{1}".repeat(count)
    }));
    cases.push(text("one key twice", 500, |count| {
        format!("[diffuser.d]\n{}", "notes = \"a\"\n".repeat(count))
    }));
    cases.push(text("one table twice", 500, |count| {
        "[diffuser.d]\n".repeat(count)
    }));
    cases.push(text("own keys", 1000, |count| {
        format!(
            "[diffuser.d]\n[diffuser.d.own]\n{}",
            many(count, |n| format!("a{n} = 1\n"))
        )
    }));
    cases.push(text("figures in two units", 500, |count| {
        many(count, |n| {
            format!("[airline.x{n}]\nbore = [\"1/2 in\", \"12.7 mm\"]\n")
        })
    }));
    cases.push(text("figures that can't be read", 500, |count| {
        many(count, |n| {
            format!("[airline.x{n}]\nbore = \"{n},5 inchs\"\n")
        })
    }));
    cases.push(text("tables where figures belong", 500, |count| {
        many(count, |n| {
            format!("[airline.x{n}]\nbore = {{ os = 1, at = {{ deph = 2 }} }}\n")
        })
    }));
}

fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    tables(&mut cases);
    lists(&mut cases);
    texts(&mut cases);
    sheets(&mut cases);
    packages(&mut cases);
    rules(&mut cases);
    cases
}

/// `NAMEPLATE_SHOW` prints what was counted, and names the cases to be looked at if it isn't empty.
#[test]
#[ignore = "needs the program that counts: tests/run builds it"]
fn nothing_grows_as_its_square() {
    let program = std::env::var_os("NAMEPLATE_COUNTED")
        .expect("NAMEPLATE_COUNTED names the program that counts");
    let show = std::env::var("NAMEPLATE_SHOW").ok();
    let wanted = show.clone().unwrap_or_default();
    let mut wrong = Vec::new();
    let mut tried = 0;
    for case in cases().iter().filter(|case| case.name.contains(&wanted)) {
        let (line, is_wrong) = match case.growth(Path::new(&program)) {
            Ok((growth, works)) => {
                let line = format!("{growth:.2} {} from {}: {works:?}", case.name, case.least);
                (line, growth > MOST)
            }
            Err(why) => (why, true),
        };
        if show.is_some() {
            println!("{line}");
        }
        if is_wrong && !NOT_CURED.contains(&case.name.as_str()) {
            wrong.push(line);
        }
        tried += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 0, "no case is called {wanted}");
}

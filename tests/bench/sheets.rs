//! Makes spec sheets of any size, dense with figures and all different, in three formats.

use std::fmt::Write as _;

/// How a page is written.
#[derive(Clone, Copy)]
pub enum Format {
    /// Headings, lists and tables by Markdown's marks.
    Markdown,
    /// The same by HTML's tags, with entities.
    Html,
    /// The same with blank lines and columns.
    Text,
}

/// Pages of at least `bytes` bytes, the same for the same number.
pub fn pages(format: Format, bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 4096);
    let mut number = 0u64;
    while text.len() < bytes {
        number += 1;
        let page = Page { format, n: number };
        page.write(&mut text);
    }
    text
}

/// The sheets of the tests' corpus of that format one after another, over and over, until there are `bytes`.
pub fn as_written(format: Format, bytes: usize) -> String {
    let ending = match format {
        Format::Markdown => "md",
        Format::Html => "html",
        Format::Text => "txt",
    };
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets");
    let mut all = String::new();
    for entry in walkdir::WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .flatten()
    {
        if entry.path().extension().is_some_and(|own| own == ending)
            && let Ok(text) = std::fs::read_to_string(entry.path())
        {
            all.push_str(&text);
            all.push_str("\n\n");
        }
    }
    all.repeat(bytes / all.len().max(1) + 1)
}

struct Page {
    format: Format,
    n: u64,
}

impl Page {
    /// A figure that varies with the page and with `salt`.
    fn vary(&self, salt: u64, from: u64, span: u64) -> u64 {
        let mixed = (self.n ^ (salt << 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        from + (mixed >> 33) % span
    }

    fn write(&self, text: &mut String) {
        let v = |salt, from, span| self.vary(salt, from, span);
        self.heading(text, 1, &format!("Otter Mill Water, kit number {}", self.n));
        self.paragraph(
            text,
            &format!(
                "Keeps ponds up to {} acres and {} ft deep clear through the summer. Two diffusers move {},{:03} GPM of \
                 water from the bottom, and running it costs less than ${} a month at {} cents per kWh, 24 hours a day.",
                v(1, 1, 5),
                v(2, 5, 9),
                v(3, 1, 8),
                v(4, 0, 999),
                v(5, 4, 20),
                v(6, 9, 20)
            ),
        );
        let half = match self.format {
            Format::Html => "&frac12;",
            _ => "½",
        };
        self.items(
            text,
            &[
                format!(
                    "{}.{} CFM at {} psi, {}.{} CFM open flow",
                    v(7, 1, 6),
                    v(8, 0, 9),
                    v(9, 2, 9),
                    v(10, 4, 6),
                    v(11, 0, 9)
                ),
                format!(
                    "115V/60Hz, {}.{}A, {} W",
                    v(12, 0, 3),
                    v(13, 1, 9),
                    v(14, 35, 200)
                ),
                format!(
                    "{} dBA measured at {} ft with the lid closed",
                    v(15, 36, 20),
                    v(16, 3, 10)
                ),
                format!(
                    "{} ft of {half}\" ID self-sinking airline for each diffuser",
                    v(17, 2, 8) * 50
                ),
                format!(
                    "Cabinet {} x {} x {} in, shipping weight {} lb",
                    v(18, 12, 8),
                    v(19, 10, 6),
                    v(20, 8, 6),
                    v(21, 22, 60)
                ),
            ],
        );
        self.table(
            text,
            &[
                ["Specification", "Value", "Metric"],
                [
                    "Max. depth",
                    &format!("{} ft", v(22, 6, 12)),
                    &format!("{}.{} m", v(23, 1, 4), v(24, 1, 9)),
                ],
                [
                    "Max. pressure",
                    &format!("{} psi", v(25, 4, 12)),
                    &format!("{} kPa", v(26, 30, 70)),
                ],
                [
                    "Air flow",
                    &format!("{}.{} cfm", v(27, 1, 6), v(28, 0, 9)),
                    &format!("{} L/min", v(29, 40, 160)),
                ],
                [
                    "Power",
                    &format!("{} watts", v(30, 30, 200)),
                    &format!("{} W", v(31, 30, 200)),
                ],
                ["Warranty", &format!("{} years", v(32, 1, 5)), ""],
                [
                    "Price",
                    &format!("${},{:03}.00", v(33, 1, 4), v(34, 0, 999)),
                    "",
                ],
            ],
        );
        self.paragraph(
            text,
            &format!(
                "At a depth of {} ft the compressor draws {} W, about {}% less than a fountain of the same size. Clean the \
                 filter every {} months, and replace the diaphragms after {},000 hours. Let a licensed electrician fit the \
                 GFCI outlet within {} ft of the cabinet, and keep off the ice within {} ft of open water.",
                v(35, 4, 10),
                v(36, 40, 90),
                v(37, 20, 40),
                v(38, 2, 4),
                v(39, 10, 9),
                v(40, 5, 5),
                v(41, 20, 30)
            ),
        );
    }

    fn heading(&self, text: &mut String, level: usize, words: &str) {
        let _ = match self.format {
            Format::Markdown => write!(text, "{} {words}\n\n", "#".repeat(level)),
            Format::Html => writeln!(text, "<h{level}>{words}</h{level}>"),
            Format::Text => write!(text, "{}\n\n", words.to_uppercase()),
        };
    }

    fn paragraph(&self, text: &mut String, words: &str) {
        let _ = match self.format {
            Format::Markdown | Format::Text => write!(text, "{words}\n\n"),
            Format::Html => writeln!(text, "<p class=\"lead\">{words}</p>"),
        };
    }

    fn items(&self, text: &mut String, items: &[String]) {
        if let Format::Html = self.format {
            text.push_str("<ul class=\"features\">\n");
        }
        for item in items {
            let _ = match self.format {
                Format::Markdown | Format::Text => writeln!(text, "- {item}"),
                Format::Html => writeln!(text, "<li><b>{item}</b></li>"),
            };
        }
        text.push_str(if let Format::Html = self.format {
            "</ul>\n"
        } else {
            "\n"
        });
    }

    fn table(&self, text: &mut String, rows: &[[&str; 3]]) {
        if let Format::Html = self.format {
            text.push_str("<table>\n");
        }
        for (number, [name, first, second]) in rows.iter().enumerate() {
            let _ = match self.format {
                Format::Markdown => writeln!(text, "| {name} | {first} | {second} |"),
                Format::Text => writeln!(text, "{name:<24}{first:<24}{second}"),
                Format::Html => writeln!(
                    text,
                    "<tr><th>{name}</th><td>{first}</td><td>{second}</td></tr>"
                ),
            };
            if let (0, Format::Markdown) = (number, self.format) {
                text.push_str("|---|---|---|\n");
            }
        }
        text.push_str(if let Format::Html = self.format {
            "</table>\n"
        } else {
            "\n"
        });
    }
}

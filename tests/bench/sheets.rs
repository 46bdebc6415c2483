//! Makes spec sheets of any size, all different, in three formats: dense with figures, or with the talk around them
//! that a shop's page has.

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

/// What stands on the pages.
#[derive(Clone, Copy, PartialEq)]
pub enum Matter {
    /// Little but figures: one in every forty bytes.
    Figures,
    /// The same figures among sentences without any, and in HTML with the markup of a shop around them.
    Talk,
}

/// Pages of at least `bytes` bytes, the same for the same number.
pub fn pages(format: Format, matter: Matter, bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 8192);
    let mut number = 0u64;
    while text.len() < bytes {
        number += 1;
        let page = Page { format, n: number };
        if matter == Matter::Talk {
            page.begin(&mut text);
            page.write(&mut text);
            page.talk(&mut text);
        } else {
            page.write(&mut text);
        }
    }
    text
}

/// The sheets of the tests' corpus of that format.
pub fn as_written(format: Format) -> Vec<String> {
    let ending = match format {
        Format::Markdown => "md",
        Format::Html => "html",
        Format::Text => "txt",
    };
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets");
    walkdir::WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .flatten()
        .filter(|entry| entry.path().extension().is_some_and(|own| own == ending))
        .filter_map(|entry| std::fs::read_to_string(entry.path()).ok())
        .collect()
}

/// What a shop says where it gives no figure.
const TALK: [&str; 16] = [
    "A pond that is kept moving from the bottom stays clear, because the mud gets the air it needs to break down leaves.",
    "We pack every kit ourselves in the old grain store, and whoever picks up the telephone has built one.",
    "The cabinet is powder coated in a green that disappears behind the reeds, and its lid locks with a key.",
    "Lay the airline in an easy curve, sink it where boats and anglers won't find it, and keep the diffusers off soft silt.",
    "Fish come to the surface on still mornings when the water below them has run out of oxygen.",
    "If you would rather have somebody do the digging, ask us for the names of people who have done it before.",
    "The check valve keeps water from running back into the compressor when the power fails in a storm.",
    "Spring is the time to start slowly: let the machine run for a short while on the first day and longer on the next.",
    "Nothing here needs a boat, although one helps, and nothing in the water carries electricity.",
    "Every valve is marked with the line that it feeds, so that a deep diffuser doesn't starve behind a shallow one.",
    "Neighbours tell us that they hear the reeds before they hear the machine.",
    "What comes back to us is looked at, cleaned, and sold as what it is.",
    "The felt in the intake catches pollen and dust; a clogged one makes the machine hot and its air weak.",
    "Ducks like the open water in winter, and so do we, as long as nobody walks on the ice beside it.",
    "Bring a sketch of your pond with its deepest places, and we draw the lines into it while you have a coffee.",
    "A good outlet has its own breaker and a cover, and an electrician who knows water should look at it.",
];

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

    /// What a page of a shop begins with; only HTML has more than its head.
    fn begin(&self, text: &mut String) {
        if let Format::Html = self.format {
            let _ = write!(
                text,
                "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Kit {n}</title>\n\
                 <style>.lead {{ margin: 0 0 1em }} .features li {{ padding: .2em }}</style>\n\
                 <script>window.page = {{ kit: {n}, tracked: false, price: 0 }};</script></head>\n\
                 <body class=\"kit kit-{n}\"><nav><ul class=\"menu\"><li><a href=\"/kits\">Kits</a></li>\
                 <li><a href=\"/parts\">Parts</a></li><li><a href=\"/words\">Words</a></li></ul></nav>\n",
                n = self.n
            );
        }
    }

    /// Sentences without figures, in an order of the page's own.
    fn talk(&self, text: &mut String) {
        const PARAGRAPHS: u64 = 12;
        for paragraph in 0..PARAGRAPHS {
            let mut words = String::new();
            for sentence in 0..3 {
                let salt = 100 + paragraph * 3 + sentence;
                let place = self.vary(salt, 0, TALK.len() as u64) as usize;
                words.push_str(TALK[place]);
                words.push(' ');
            }
            self.paragraph(text, words.trim_end());
        }
        if let Format::Html = self.format {
            text.push_str("</body></html>\n");
        }
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

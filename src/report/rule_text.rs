//! What a family's page says about one rule.

/// The part of `page` under the heading `## rule`, with or without its examples; nothing if the page has no
/// such heading.
pub fn section(page: &str, rule: &str, with_examples: bool) -> Option<String> {
    let mut own = false;
    let mut fenced = false;
    let mut examples = false;
    let mut text = String::new();
    for line in page.lines() {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        let heading = if fenced { None } else { heading(line) };
        match heading {
            Some((2, _)) if own => break,
            Some((2, name)) => {
                own = name.trim_matches('`') == rule;
                continue;
            }
            Some((3, name)) => examples = name == "Examples" && !with_examples,
            _ => {}
        }
        if own && !examples {
            text.push_str(line);
            text.push('\n');
        }
    }
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_string())
}

/// What stands on `page` before its first rule, without the title.
pub fn preface(page: &str) -> &str {
    let body = page.split_once('\n').map_or("", |(_, body)| body);
    body.split("\n## ").next().unwrap_or(body).trim()
}

/// What a family asks: the first paragraph of its page.
pub fn question(page: &str) -> &str {
    preface(page).split("\n\n").next().unwrap_or("").trim()
}

/// Markdown without the signs of its headings and code, for a reader of plain text.
pub fn plain(markdown: &str) -> String {
    let lines = markdown.lines().map(|line| match heading(line) {
        Some((_, name)) => name,
        None => line,
    });
    lines.collect::<Vec<_>>().join("\n").replace('`', "")
}

/// Level and words of a heading.
fn heading(line: &str) -> Option<(usize, &str)> {
    let words = line.trim_start_matches('#');
    let level = line.len() - words.len();
    let words = words.strip_prefix(' ')?.trim();
    (level > 0).then_some((level, words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_section_is_found_without_its_examples() {
        let page = "# The family `a`\n\nAsks.\n\n## a.one\n\n### Promise\nWords `x`.\n\n### Examples\n```toml\n## no heading\n```\n\n## a.two\n\n### Promise\nOther.\n";
        let one = section(page, "a.one", false);
        assert_eq!(one.as_deref(), Some("### Promise\nWords `x`."));
        assert_eq!(
            section(page, "a.two", false).as_deref(),
            Some("### Promise\nOther.")
        );
        assert_eq!(section(page, "a.three", false), None);
        let whole = section(page, "a.one", true).unwrap();
        assert!(whole.ends_with("```toml\n## no heading\n```"), "{whole}");
        assert_eq!((preface(page), question(page)), ("Asks.", "Asks."));
        assert_eq!(plain("### Promise\nWords `x`."), "Promise\nWords x.");
    }
}

//! What a page says of its product in data for machines: JSON-LD, and the `meta` elements of microdata.
//!
//! Of a `Product` its own properties, its mass and its price are laid out as rows of a table. What it is related to,
//! what others say of it and every other script stay unread.

use std::ops::Range;

use super::layout::{Layout, Role};

/// Values deeper than this, or more of them, are no page's.
const DEEPEST: usize = 24;
const MOST: usize = 20_000;

/// A text of the data with its bytes in the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Written {
    pub(super) text: String,
    pub(super) at: Range<usize>,
}

/// A row: what it is, how much, and the unit where that stands by itself.
#[derive(Debug, Default)]
pub(super) struct Property {
    pub(super) name: Option<Written>,
    pub(super) value: Option<Written>,
    pub(super) unit: Option<Written>,
}

/// Lays rows out as a table.
pub(super) fn lay_out(layout: &mut Layout, rows: &[Property]) {
    let table = layout.tables;
    let mut row = 0;
    for one in rows {
        let (Some(name), Some(value)) = (&one.name, &one.value) else {
            continue;
        };
        let cell = |column| Role::Cell {
            table,
            row,
            column,
            head: column == 0,
        };
        layout.push(&name.text, name.at.clone());
        layout.end(cell(0));
        layout.push(&value.text, value.at.clone());
        if let Some(unit) = &one.unit {
            // A unit that stands before its figure is read behind it, and points there.
            let end = value.at.end;
            let at = if unit.at.start < end {
                end..end
            } else {
                unit.at.clone()
            };
            layout.space(at.start);
            layout.push(spelled(&unit.text), at);
        }
        layout.end(cell(1));
        row += 1;
    }
    layout.tables += u32::from(row > 0);
}

/// Codes of units by UN/CEFACT Recommendation 20 (from memory), as people write them; any other text is itself.
fn spelled(unit: &str) -> &str {
    const CODES: [(&str, &str); 24] = [
        ("MTR", "m"),
        ("CMT", "cm"),
        ("MMT", "mm"),
        ("FOT", "ft"),
        ("INH", "in"),
        ("KGM", "kg"),
        ("GRM", "g"),
        ("LBR", "lb"),
        ("WTT", "W"),
        ("KWT", "kW"),
        ("VLT", "V"),
        ("AMP", "A"),
        ("HTZ", "Hz"),
        ("KPA", "kPa"),
        ("MBR", "mbar"),
        ("BAR", "bar"),
        ("MTK", "m²"),
        ("FTK", "ft²"),
        ("ACR", "acre"),
        ("HAR", "ha"),
        ("MQH", "m³/h"),
        ("L2", "L/min"),
        ("CEL", "°C"),
        ("ANN", "years"),
    ];
    CODES
        .iter()
        .find(|(code, _)| *code == unit)
        .map_or(unit, |(_, written)| written)
}

/// The properties of the products of a JSON text that begins at byte `from` of the file.
pub(super) fn of_json(text: &str, from: usize) -> Vec<Property> {
    let mut reader = Reader {
        text,
        from,
        at: 0,
        left: MOST,
    };
    let mut rows = Vec::new();
    if let Some(root) = reader.value(DEEPEST) {
        products(&root, &mut rows);
    }
    rows
}

enum Node {
    Object(Vec<(String, Node)>),
    Array(Vec<Node>),
    Text(Written),
}

impl Node {
    fn get(&self, name: &str) -> Option<&Node> {
        match self {
            Node::Object(all) => all.iter().find(|(key, _)| key == name).map(|(_, one)| one),
            _ => None,
        }
    }

    fn text(&self) -> Option<&Written> {
        match self {
            Node::Text(text) => Some(text),
            Node::Array(all) => all.first().and_then(Node::text),
            Node::Object(_) => None,
        }
    }

    fn is(&self, kind: &str) -> bool {
        let names = |text: &Written| text.text.rsplit(['/', ':']).next() == Some(kind);
        match self.get("@type") {
            Some(Node::Text(text)) => names(text),
            Some(Node::Array(all)) => all.iter().filter_map(Node::text).any(names),
            _ => false,
        }
    }

    fn each(&self) -> &[Node] {
        match self {
            Node::Array(all) => all,
            one => std::slice::from_ref(one),
        }
    }
}

fn products(node: &Node, rows: &mut Vec<Property>) {
    match node {
        Node::Array(all) => all.iter().for_each(|one| products(one, rows)),
        Node::Object(_) if node.is("Product") => of_product(node, rows),
        // A question of a page of them, and what the page answers.
        Node::Object(_) if node.is("Question") => {
            let answer = node.get("acceptedAnswer");
            rows.push(Property {
                name: node.get("name").and_then(Node::text).cloned(),
                value: answer
                    .and_then(|answer| answer.get("text"))
                    .and_then(Node::text)
                    .cloned(),
                unit: None,
            });
        }
        Node::Object(_) => {
            for inner in ["@graph", "mainEntity", "mainEntityOfPage"] {
                if let Some(inner) = node.get(inner) {
                    products(inner, rows);
                }
            }
        }
        Node::Text(_) => {}
    }
}

fn of_product(product: &Node, rows: &mut Vec<Property>) {
    let of = |node: &Node, name: &str| node.get(name).and_then(Node::text).cloned();
    let properties = product.get("additionalProperty").into_iter();
    for one in properties.flat_map(Node::each) {
        rows.push(Property {
            name: of(one, "name"),
            value: of(one, "value"),
            unit: of(one, "unitText").or_else(|| of(one, "unitCode")),
        });
    }
    let named = |name: &str, node: &Node| Written {
        text: name.into(),
        // The name is the program's; it stands where its value does.
        at: node
            .text()
            .map_or(0..0, |text| text.at.start..text.at.start),
    };
    if let Some(mass) = product.get("weight") {
        let value = mass.text().cloned().or_else(|| of(mass, "value"));
        let unit = of(mass, "unitText").or_else(|| of(mass, "unitCode"));
        rows.push(Property {
            name: Some(named("Weight", mass)),
            value,
            unit,
        });
    }
    let offers = product.get("offers").into_iter();
    for offer in offers.flat_map(Node::each).filter(|one| one.is("Offer")) {
        rows.push(Property {
            name: Some(named("Price", offer)),
            value: of(offer, "price"),
            unit: of(offer, "priceCurrency"),
        });
    }
}

/// Reads JSON with the place of every text; what isn't JSON is nothing.
struct Reader<'a> {
    text: &'a str,
    from: usize,
    at: usize,
    /// How many values may still come.
    left: usize,
}

impl Reader<'_> {
    fn next(&mut self) -> Option<u8> {
        let bytes = self.text.as_bytes();
        while bytes.get(self.at).is_some_and(u8::is_ascii_whitespace) {
            self.at += 1;
        }
        bytes.get(self.at).copied()
    }

    fn take(&mut self, sign: u8) -> Option<()> {
        (self.next()? == sign).then(|| self.at += 1)
    }

    fn value(&mut self, depth: usize) -> Option<Node> {
        self.left = self.left.checked_sub(1)?;
        let depth = depth.checked_sub(1)?;
        match self.next()? {
            b'{' => {
                let mut all = Vec::new();
                self.list(b'{', b'}', |reader| {
                    let key = reader.string()?.text;
                    reader.take(b':')?;
                    all.push((key, reader.value(depth)?));
                    Some(())
                })?;
                Some(Node::Object(all))
            }
            b'[' => {
                let mut all = Vec::new();
                self.list(b'[', b']', |reader| {
                    all.push(reader.value(depth)?);
                    Some(())
                })?;
                Some(Node::Array(all))
            }
            b'"' => self.string().map(Node::Text),
            _ => self.bare().map(Node::Text),
        }
    }

    fn list(
        &mut self,
        open: u8,
        close: u8,
        mut one: impl FnMut(&mut Self) -> Option<()>,
    ) -> Option<()> {
        self.take(open)?;
        if self.take(close).is_some() {
            return Some(());
        }
        loop {
            one(self)?;
            if self.take(close).is_some() {
                return Some(());
            }
            self.take(b',')?;
        }
    }

    fn string(&mut self) -> Option<Written> {
        self.next()?;
        let start = self.at;
        self.take(b'"')?;
        let bytes = self.text.as_bytes();
        while *bytes.get(self.at)? != b'"' {
            self.at += 1 + usize::from(bytes[self.at] == b'\\');
        }
        self.at += 1;
        let written = self.text.get(start..self.at)?;
        Some(Written {
            text: serde_json::from_str(written).ok()?,
            at: self.from + start + 1..self.from + self.at - 1,
        })
    }

    /// A number, or one of the words that JSON has.
    fn bare(&mut self) -> Option<Written> {
        let start = self.at;
        let length = self.text[start..]
            .bytes()
            .take_while(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'-' | b'+'))
            .count();
        self.at += length;
        (length > 0).then(|| Written {
            text: self.text[start..self.at].to_owned(),
            at: self.from + start..self.from + self.at,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::claims_of;

    #[test]
    fn a_products_own_properties_are_read() {
        let html = r#"<script type="application/ld+json">{"@graph": [{"@type": "Product", "name": "Rail 2",
            "weight": {"@type": "QuantitativeValue", "value": 11, "unitCode": "KGM"},
            "offers": {"@type": "Offer", "price": "549.00", "priceCurrency": "EUR"},
            "isRelatedTo": {"@type": "Product", "weight": "60 kg"},
            "additionalProperty": [{"name": "Power", "value": "120", "unitText": "W"},
                {"name": "Maximum depth", "value": 4, "unitCode": "MTR"}]}]}</script>
            <script>var depth = "40 m";</script>"#;
        assert_eq!(
            claims_of(Kind::Html, html),
            [
                "120 W power exact",
                "4 m depth at-most",
                "11 kg mass exact",
                "549.00 EUR price exact"
            ]
        );
    }

    #[test]
    fn microdata_of_the_first_product_is_read() {
        let html = r#"<div itemscope itemtype="https://schema.org/Product"><h1 itemprop="name">Rail 2</h1>
            <div itemprop="additionalProperty" itemscope itemtype="https://schema.org/PropertyValue">
            <meta itemprop="name" content="Power"><meta itemprop="value" content="120"><meta itemprop="unitText" content="W">
            </div><div itemprop="offers" itemscope itemtype="https://schema.org/Offer"><meta itemprop="price" content="549.00">
            <meta itemprop="priceCurrency" content="EUR"></div></div>
            <div itemscope itemtype="https://schema.org/Product"><div itemprop="offers" itemscope
            itemtype="https://schema.org/Offer"><meta itemprop="price" content="99"></div></div>"#;
        assert_eq!(
            claims_of(Kind::Html, html),
            ["120 W power exact", "549.00 EUR price exact"]
        );
    }

    #[test]
    fn what_is_no_data_is_left() {
        for text in [
            "{",
            "[1,",
            "{\"@type\": \"Product\", \"weight\": ",
            "nothing",
            "\"\\",
        ] {
            let html = format!("<script type='application/ld+json'>{text}</script><p>120 W</p>");
            assert_eq!(claims_of(Kind::Html, &html), ["120 W power exact"]);
        }
    }
}

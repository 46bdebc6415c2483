//! What an item says, whatever its lines look like.

use std::fmt::Write;

use super::item::{Item, Kind};

impl Item<'_> {
    /// What it says, in a form that is the same for two items exactly if they say the same: the order of keys,
    /// comments, spaces, quotes and how tables are spelled don't count, the digits of a figure do. Keys named in
    /// `except` are passed over, however deep they lie.
    ///
    /// Nothing where a part of it couldn't be read, for then nobody knows what it says.
    pub fn facts(self, except: &[&str]) -> Option<String> {
        let mut facts = String::new();
        self.put_facts(except, &mut facts).then_some(facts)
    }

    /// Adds what it says; false where that isn't known.
    fn put_facts(self, except: &[&str], facts: &mut String) -> bool {
        if self.damaged() {
            return false;
        }
        // Writing to a string can't fail.
        let _ = match self.kind() {
            Kind::Bad => return false,
            Kind::Table => {
                let mut entries: Vec<(&str, Item)> = self
                    .entries()
                    .filter_map(|item| Some((item.key()?.0, item)))
                    .filter(|(key, _)| !except.contains(key))
                    .collect();
                entries.sort_by_key(|(key, _)| *key);
                facts.push('{');
                for (key, item) in entries {
                    let _ = write!(facts, "{key:?}=");
                    if !item.put_facts(except, facts) {
                        return false;
                    }
                    facts.push(',');
                }
                write!(facts, "}}")
            }
            Kind::Array => {
                facts.push('[');
                for item in self.items() {
                    if !item.put_facts(except, facts) {
                        return false;
                    }
                    facts.push(',');
                }
                write!(facts, "]")
            }
            Kind::String => write!(facts, "{:?}", self.as_str().unwrap_or_default()),
            Kind::Integer => write!(facts, "{}", self.as_i64().unwrap_or_default()),
            Kind::Boolean => write!(facts, "{}", self.as_bool().unwrap_or_default()),
            Kind::Float | Kind::Date => write!(facts, "{}", self.written()),
        };
        true
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that panics has failed")]
mod tests {
    use crate::text::{FileId, Source};

    fn facts(text: &str) -> Option<String> {
        let source = Source::new("a.toml", text.into());
        crate::document::read(FileId(0), &source)
            .root()
            .facts(&["notes"])
    }

    #[test]
    fn lines_do_not_count_and_digits_do() {
        let one = facts("# remark\n[a.b]\nx = \"1 m\"\ny = 0x10\n[[c]]\nz = 2.50\n").unwrap();
        let same =
            "c = [ { z = 2.50 } ] # the same\na.b = { y = 16, x = '1 m', notes = \"more\" }\n";
        assert_eq!(facts(same).unwrap(), one);
        for other in [
            "c = [ { z = 2.5 } ]\na.b = { y = 16, x = '1 m' }\n",
            "c = [ { z = 2.50 } ]\na.b = { y = 16, x = '1.0 m' }\n",
            "c = [ { z = 2.50 } ]\na.b = { y = '16', x = '1 m' }\n",
            "c = [ { z = 2.50 } ]\na.b = { y = 16 }\n",
        ] {
            assert_ne!(facts(other).unwrap(), one, "{other}");
        }
        assert_eq!(facts("a = oops\n"), None);
    }
}

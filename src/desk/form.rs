//! The fields of a form, as a browser sends them.

use percent_encoding::percent_decode;

/// Names and values, in the order of the form.
#[derive(Debug, Clone, Default)]
pub struct Form(Vec<(String, String)>);

/// The most fields that are looked at.
const MOST: usize = 200;

impl Form {
    /// Reads `application/x-www-form-urlencoded`.
    pub fn of(bytes: &[u8]) -> Form {
        let fields = bytes.split(|byte| *byte == b'&').take(MOST);
        let fields = fields.filter(|field| !field.is_empty()).map(|field| {
            let at = field.iter().position(|byte| *byte == b'=');
            let (name, value) = field.split_at(at.unwrap_or(field.len()));
            (text(name), text(value.get(1..).unwrap_or_default()))
        });
        Form(fields.collect())
    }

    /// The value of a field without blanks round it; empty where it isn't there.
    pub fn get(&self, name: &str) -> &str {
        let found = self.0.iter().find(|field| field.0 == name);
        found.map_or("", |field| field.1.trim())
    }

    /// Whether nothing was filled in.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|field| field.1.trim().is_empty())
    }
}

fn text(bytes: &[u8]) -> String {
    let spaced: Vec<u8> = bytes
        .iter()
        .map(|byte| if *byte == b'+' { b' ' } else { *byte })
        .collect();
    percent_decode(&spaced).decode_utf8_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_decoded_as_the_url_standard_says() {
        let form = Form::of(b"area=1200+m2&title=M%C3%BChle+%26+Co&run=&x%3Dy=1%2B1&lone");
        assert_eq!(form.get("area"), "1200 m2");
        assert_eq!(form.get("title"), "Mühle & Co");
        assert_eq!(form.get("x=y"), "1+1");
        assert_eq!(
            (form.get("run"), form.get("lone"), form.get("none")),
            ("", "", "")
        );
        assert!(Form::of(b"a=&b=+").is_empty() && !form.is_empty());
    }
}

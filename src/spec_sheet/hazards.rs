//! What a text says of its hazards: mains beside water, and ice over moving water.
//!
//! A word of protection warns only where it isn't denied: `no electrician needed` is no caution, and `never run it
//! without an RCD` is one.

use std::ops::Range;

use crate::units::Dimension;

use super::Sheet;
use super::layout::{Passage, Role};
use super::lexicon::{self, Hit, Reach, Tag};
use super::scope::{breaks, ends_clause, sentences};
use super::unit_words;

/// What is said of one hazard.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hazard {
    /// Somewhere the text warns of it, or says how it is met.
    pub warned: bool,
    /// Bytes of the first words by which the text denies it.
    pub denied: Option<Range<usize>>,
}

/// What a text says of its hazards.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hazards {
    /// A device that cuts off mains beside water.
    pub device: Hazard,
    /// Who connects mains, and by which rules.
    pub person: Hazard,
    /// Ice over moving water.
    pub ice: Hazard,
    /// Whether it speaks of winter or ice at all.
    pub winter: bool,
    /// Whether it advises to begin little by little.
    pub staged: bool,
    /// Whether it warns of what is hot to touch.
    pub burns: bool,
}

impl Sheet {
    /// What the sheet says of its hazards.
    pub fn hazards(&self) -> Hazards {
        Hazards::of(&self.passages)
    }
}

impl Hazards {
    /// What passages say, each by itself and under its heading.
    fn of(passages: &[Passage]) -> Hazards {
        let mut found = Hazards::default();
        let mut head_of_row = String::new();
        for (place, passage) in passages.iter().enumerate() {
            let own = passage.text.replace('\n', " ");
            let heading = passage.under.and_then(|at| passages.get(at as usize));
            let of_ice = heading.is_some_and(|one| {
                let hits = lexicon::hazards(&small(&one.text));
                hits.iter().any(|hit| hit.tag == Tag::Ice)
            });
            // The head of a row is a question, and the cells behind it answer.
            let before = match passage.role {
                Role::Cell { column: 0, .. } => {
                    head_of_row.clone_from(&own);
                    let next = passages.get(place + 1).map(|next| next.role);
                    if matches!(next, Some(Role::Cell { column: 1.., .. })) {
                        continue;
                    }
                    String::new()
                }
                Role::Cell { .. } => format!("{head_of_row}? "),
                _ => String::new(),
            };
            // Where a sentence ends a capital tells; its words are known by small letters.
            let written = format!("{before}{own}");
            let mut sentences = sentences(&written).into_iter().peekable();
            let text = small(&written);
            while let Some(one) = sentences.next() {
                let answer = sentences.peek().and_then(|next| text.get(next.clone()));
                let sentence = Sentence::of(&text, one, answer);
                sentence.tell(of_ice, &mut found, |at| {
                    let at =
                        at.start.saturating_sub(before.len())..at.end.saturating_sub(before.len());
                    passage.source(at)
                });
            }
        }
        found
    }
}

/// A text in small letters with every byte where it was.
fn small(text: &str) -> String {
    let small = text.to_lowercase();
    match small.len() == text.len() {
        true => small,
        false => text.to_ascii_lowercase(),
    }
}

/// A sentence with its words of hazards.
struct Sentence<'a> {
    text: &'a str,
    from: usize,
    hits: Vec<Hit>,
    /// It is a question, and the answer is no.
    turned: bool,
}

impl<'a> Sentence<'a> {
    fn of(whole: &'a str, place: Range<usize>, next: Option<&str>) -> Sentence<'a> {
        let text = whole.get(place.clone()).unwrap_or("");
        let says_no = |next: &str| {
            let next = next.trim_start();
            let hits = lexicon::hazards(next);
            hits.iter().any(|hit| hit.tag == Tag::Not && hit.start == 0)
                || ["nein", "nee", "nej"].iter().any(|no| next.starts_with(no))
        };
        let all = lexicon::hazards(text);
        let is_inside = |hit: &Hit| {
            all.iter().any(|other| {
                other.start <= hit.start
                    && hit.end <= other.end
                    && other.end - other.start > hit.end - hit.start
                    && matches!(other.tag, Tag::Unless | Tag::Without)
            })
        };
        Sentence {
            text,
            from: place.start,
            hits: all.iter().filter(|hit| !is_inside(hit)).copied().collect(),
            turned: text.trim_end().ends_with('?') && next.is_some_and(says_no),
        }
    }

    /// Adds what it says; `source` finds the file's bytes of a stretch.
    fn tell(
        &self,
        of_ice: bool,
        found: &mut Hazards,
        source: impl Fn(Range<usize>) -> Range<usize>,
    ) {
        let deny = |heard: &mut Hazard, hit: &Hit| {
            let at = || source(self.from + hit.start..self.from + hit.end);
            heard.denied.get_or_insert_with(at);
        };
        let has = |tag: Tag| self.hits.iter().any(|hit| hit.tag == tag);
        // `gradually` may be said of anything; with a time it is said of running.
        found.staged |= has(Tag::Staged) || has(Tag::Slowly) && has(Tag::Time) || self.grows();
        for hit in &self.hits {
            let heard = match hit.tag {
                Tag::Burns => {
                    found.burns = true;
                    continue;
                }
                Tag::Winter => {
                    found.winter = true;
                    continue;
                }
                Tag::Device => &mut found.device,
                Tag::Person => &mut found.person,
                _ => continue,
            };
            match self.is_denied(hit) {
                true => deny(heard, hit),
                false => heard.warned = true,
            }
        }
        let of = |tag: Tag| self.hits.iter().filter(move |hit| hit.tag == tag);
        if !of_ice && of(Tag::Ice).next().is_none() {
            return;
        }
        // Ice is warned of by its peril, and by what isn't to be done on it.
        let warns = of(Tag::Peril).any(|hit| !self.is_denied(hit))
            || of(Tag::Tread)
                .chain(of(Tag::Safe))
                .any(|hit| self.is_denied(hit));
        let is_trodden = of(Tag::Tread).next().is_some();
        let denial = of(Tag::Peril)
            .next()
            .or_else(|| of(Tag::Safe).next().filter(|_| is_trodden));
        match denial {
            _ if warns => found.ice.warned = true,
            Some(hit) => deny(&mut found.ice, hit),
            None => {}
        }
    }

    /// Whether it lists longer and longer times: `30 min, 1 h, 2 h, 4 h`.
    fn grows(&self) -> bool {
        const FEWEST: usize = 3;
        let time = |part: &str| {
            let mut words = part.split_whitespace().rev();
            let (unit, number) = (words.next()?, words.next()?);
            let found = unit_words::whole(unit)?.unit(false);
            let hours: f64 = number.parse().ok()?;
            (found.dimension() == Dimension::Time).then(|| found.to_si(hours))
        };
        let (mut last, mut steps) = (0.0, 0);
        for part in self.text.split(',') {
            match time(part) {
                Some(next)
                    if next > last && (steps == 0 || part.split_whitespace().count() == 2) =>
                {
                    (last, steps) = (next, steps + 1);
                }
                _ => (last, steps) = (0.0, 0),
            }
            if steps >= FEWEST {
                return true;
            }
        }
        false
    }

    /// Whether the sentence says that a thing isn't so, isn't needed or is left out.
    fn is_denied(&self, hit: &Hit) -> bool {
        let reaching = |tag: Tag, to: &Hit| {
            let mut all = self.hits.iter().copied();
            all.find(|other| other.tag == tag && self.reaches(other, to))
        };
        let denied = if reaching(Tag::Unless, hit).is_some() {
            false
        } else if let Some(without) = reaching(Tag::Without, hit) {
            reaching(Tag::Not, &without).is_none()
        } else {
            reaching(Tag::Not, hit).is_some()
        };
        denied != self.turned
    }

    fn reaches(&self, hit: &Hit, to: &Hit) -> bool {
        let is_before = hit.end <= to.start;
        let between = match is_before {
            true => self.text.get(hit.end..to.start),
            false => self.text.get(to.end..hit.start),
        };
        let Some(between) = between else { return false };
        let turned = self.hits.iter().any(|other| {
            other.tag == Tag::Contrast && hit.end <= other.start && other.end <= to.start
        });
        match hit.reach {
            Reach::Last => {
                let between = between.replace(": ", " ");
                !is_before && between.split_whitespace().count() <= 3 && !ends_clause(&between)
            }
            // `RCD: none`
            _ if !is_before => between.trim() == ":",
            Reach::Ahead => !turned && !breaks(between),
            _ => !turned && !ends_clause(between),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec_sheet::{Kind, read};
    use crate::text::Source;

    fn heard(text: &str) -> Hazards {
        read(
            Kind::Markdown,
            &Source::new("page.md", text.as_bytes().to_vec()),
        )
        .hazards()
    }

    #[test]
    fn a_denial_ends_with_its_sentence() {
        for text in [
            "115 V. GFCI. Stay off thin ice. Is 22 ft possible? No.",
            "Ne convient pas aux étangs de 5 m. Disjoncteur différentiel obligatoire. Ne marchez pas sur la glace mince.",
            "It does not suit salt water.\nAn RCD is required. Ice over moving water is thin.",
        ] {
            let hazards = heard(text);
            assert!(
                hazards.device.warned && hazards.device.denied.is_none(),
                "{text}"
            );
            assert!(hazards.ice.warned, "{text}");
        }
    }

    #[test]
    fn starting_by_stages_is_heard_in_every_language() {
        for text in [
            "Start slowly: 30 minutes on day one, doubling each day.",
            "Begin slowly, with half an hour, and add an hour each morning.",
            "Langsam beginnen: am ersten Tag 30 Minuten, dann jeden Tag doppelt so lang.",
            "Commencez lentement : une heure, puis deux.",
            "Begin langzaam: de eerste dag 30 minuten.",
            "Empiece despacio: 30 minutos el primer día.",
            "Begynd langsomt med 30 minutter.",
            "Iniziare lentamente: il primo giorno 30 minuti.",
        ] {
            assert!(heard(text).staged, "{text}");
        }
        for text in [
            "Week one: 30 min, 1 h, 2 h, 4 h, 8 h, then leave it on.",
            "A quarter of an hour today, half an hour tomorrow, and so on.",
        ] {
            assert!(heard(text).staged, "{text}");
        }
        for text in [
            "The air rises slowly.",
            "We answer in 2 h, ship in 4 h, and open 8 h a day.",
            "Die Luft steigt langsam auf.",
            "It runs all day, from the first of April.",
        ] {
            assert!(!heard(text).staged, "{text}");
        }
    }

    #[test]
    fn protection_that_is_denied_is_no_caution() {
        for text in [
            "No RCD needed.",
            "Never needs an RCD.",
            "No GFCI required, simply plug it in near the water.",
            "You do not need a GFCI.",
            "You don't need any tools, any pipes or an RCD.",
            "An RCD is not necessary.",
            "RCD: not required.",
            "Do you need an RCD? No.",
            "Use a normal socket, an RCD only trips all the time.",
            "Skip the RCD.",
            "Works without an RCD.",
            "| RCD | not required |\n| --- | --- |\n| RCD | none |",
            "Kein FI-Schutzschalter erforderlich.",
            "Ein FI-Schutzschalter ist nicht erforderlich.",
            "Auf den FI-Schalter können Sie verzichten.",
            "Braucht keinen FI-Schutzschalter.",
            "Pas besoin de différentiel.",
            "Un différentiel n'est pas nécessaire.",
            "Geen aardlekschakelaar nodig.",
            "Een aardlekschakelaar is niet nodig.",
            "No necesita diferencial.",
            "Sin diferencial.",
            "Der kræves ingen fejlstrømsafbryder.",
            "En fejlstrømsafbryder er ikke nødvendig.",
            "Non serve il salvavita.",
            "Il salvavita non è necessario.",
        ] {
            let hazards = heard(text);
            assert!(!hazards.device.warned, "{text}");
            assert!(hazards.device.denied.is_some(), "{text}");
        }
        for text in [
            "No electrician needed.",
            "Kein Elektriker nötig.",
            "Aucun électricien nécessaire.",
            "Geen elektricien nodig.",
            "No hace falta electricista.",
            "Ingen elektriker nødvendig.",
            "Nessun elettricista necessario.",
        ] {
            let hazards = heard(text);
            assert!(!hazards.person.warned, "{text}");
            assert!(hazards.person.denied.is_some(), "{text}");
        }
    }

    #[test]
    fn protection_that_is_asked_for_is_a_caution() {
        for text in [
            "Plug it into an outlet behind a residual-current device (RCD).",
            "Never run it without an RCD.",
            "Do not connect it unless an RCD is fitted.",
            "Do not lift it by its cable, and use an RCD.",
            "The RCD must not be bypassed.",
            "Don't forget the RCD.",
            "If there is no RCD, don't use it.",
            "Do I need an RCD? Yes.",
            "| RCD | 30 mA |\n| --- | --- |\n| GFCI | 5 mA |",
            "Nie ohne FI-Schutzschalter betreiben.",
            "Nicht im Regen, nur am FI-Schutzschalter.",
            "Nur mit Fehlerstromschutzeinrichtung.",
            "Ne jamais brancher sans différentiel.",
            "Nooit zonder aardlekschakelaar gebruiken.",
            "Nunca sin diferencial.",
            "Aldrig uden fejlstrømsafbryder.",
            "Mai senza salvavita, non toccare.",
        ] {
            let hazards = heard(text);
            assert!(hazards.device.warned, "{text}");
            assert_eq!(hazards.device.denied, None, "{text}");
        }
    }

    #[test]
    fn ice_is_warned_of_by_its_peril_and_by_what_is_not_to_be_done() {
        for text in [
            "The ice over moving water is thin: keep off.",
            "Do not walk on the ice.",
            "Never trust the ice near it.",
            "## Ice\n\nIt is thin there.",
            "Betreten der Eisfläche verboten.",
            "Das Eis ist dort dünn.",
            "Das Eis nicht betreten.",
            "Ne marchez pas sur la glace.",
            "Het ijs is daar dun.",
            "No camine sobre el hielo.",
            "Isen er tynd, gå ikke ud.",
            "Il ghiaccio è sottile.",
        ] {
            let hazards = heard(text);
            assert!(hazards.winter && hazards.ice.warned, "{text}");
            assert_eq!(hazards.ice.denied, None, "{text}");
        }
        for text in [
            "The ice is never thin.",
            "Safe to walk on the ice, it is not thin.",
            "The ice near it is no danger.",
            "Das Eis ist nie dünn.",
            "Das Eis kann man sicher betreten.",
            "La glace n'est jamais mince.",
            "Het ijs is nooit dun.",
            "El hielo nunca es delgado.",
            "Isen er aldrig tynd.",
            "Il ghiaccio non è mai sottile.",
        ] {
            let hazards = heard(text);
            assert!(!hazards.ice.warned, "{text}");
            assert!(hazards.ice.denied.is_some(), "{text}");
        }
        for text in [
            "Never freezes even at -25.",
            "hält garantiert eisfrei bis -30 °C",
            "ne gèle jamais",
            "bevriest nooit",
            "nunca se congela",
            "fryser aldrig til",
            "non gela mai",
        ] {
            let hazards = heard(text);
            assert!(hazards.winter && !hazards.ice.warned, "{text}");
            assert_eq!(hazards.ice.denied, None, "{text}");
        }
        assert!(!heard("30 L/min at 1.2 m, from April to October.").winter);
    }
}

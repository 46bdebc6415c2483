//! What to ask whom, where it was asked for.

use maud::{Markup, html};

use crate::claims::Ask;
use crate::engine::Outcome;

use super::super::terminal::{safe, settles};
use crate::finding::capital;

/// The list by who could supply it; nothing where nobody asked for it.
pub(super) fn asks(outcome: &Outcome) -> Markup {
    let Some(asks) = &outcome.asks else {
        return html! {};
    };
    let suppliers = asks.chunk_by(|a, b| a.of == b.of);
    html! {
        section aria-labelledby="asks" {
            h2 id="asks" { "What would settle what isn't settled" }
            @if asks.is_empty() { p { "Nothing: every promise is settled, one way or the other." } }
            @for own in suppliers {
                @if let [first, ..] = own { h3 { "From " (first.of.words()) } }
                ul { @for ask in own { (one(outcome, ask)) } }
            }
        }
    }
}

fn one(outcome: &Outcome, ask: &Ask) -> Markup {
    let settled = ask
        .settles
        .iter()
        .filter_map(|&place| outcome.verdicts.get(place));
    html! {
        li {
            (safe(&capital(&ask.what))) " (" (safe(&ask.about)) ")."
            ul { @for verdict in settled { li { (safe(&settles(verdict))) } } }
        }
    }
}

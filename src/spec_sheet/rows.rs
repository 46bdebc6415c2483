//! What a table says of its rows: the conditions in its heads, in their first cells and in cells of their own.

use std::rc::Rc;

use hashbrown::HashMap;
use smallvec::SmallVec;

use crate::units::{Dimension, Quantity};

use super::claim::{Attribute, Claim, Comparator};
use super::finder::{Above, FARTHEST, Finder, Held, MOST_CLAIMS};
use super::holding::{fits, is_condition, takes_condition};
use super::layout::Role;
use super::measure;
use super::tokens;
use super::view::{Around, Facts, View};
use super::vocabulary::Topic;

/// Figures of a column: the claim and its row.
type Figures = SmallVec<[(usize, u32); 2]>;

impl Finder<'_> {
    /// Conditions that stand in the heads of a cell: `Flow at 2 psi`, a row that begins with `6 ft`.
    pub(super) fn of_the_heads(&mut self, number: usize, first_claim: usize, above: &Above) {
        let passage = &self.passages[number];
        if self.claims.len() == first_claim {
            return;
        }
        let mut found: Vec<Quantity> = Vec::new();
        let heads =
            above
                .columns
                .into_iter()
                .chain([above.row, above.beside, above.unit, above.section]);
        for head in heads.flatten() {
            found.extend(self.stated(head).iter().cloned());
        }
        if let Some(row) = above.row
            && let Some(depth) = &self.depth
            && self.passages[row as usize].text.contains("that depth")
        {
            found.push(depth.clone());
        }
        if let Role::Cell { .. } = passage.role
            && self.at_depth.len() < MOST_CLAIMS
            && above.columns.into_iter().flatten().any(|head| {
                let head = self.topics_of(head);
                head.set.has(Topic::At) && head.set.has(Topic::Depth)
            })
        {
            for claim in first_claim..self.claims.len() {
                if takes_condition(self.claims[claim].attribute) {
                    self.at_depth.push(claim);
                }
            }
        }
        if let Role::Cell {
            table, row, column, ..
        } = passage.role
        {
            let key = (table, row);
            let known = self.rows.get(&key).map_or(0, |held| held.len());
            let has_head = above.columns[0].is_some() || column == 0;
            // The first cells of a row of figures say under what the others hold.
            if let [claim] = &self.claims[first_claim..]
                && known == column as usize
                && has_head
                && matches!(claim.attribute, Attribute::Pressure | Attribute::Depth)
                && matches!(claim.comparator, Comparator::Exact | Comparator::About)
                && let Some(quantity) = &claim.quantity
                && claim.text.len() + 12 >= passage.text.len()
                && !self.tables.is_head(table, row)
            {
                let held = Held {
                    quantity: quantity.clone(),
                    claim: first_claim,
                    serves: false,
                };
                self.rows.entry(key).or_default().push(held);
            }
            if column > 0
                && let Some(held) = self.rows.get_mut(&key)
            {
                for held in held.iter_mut().filter(|held| held.claim != first_claim) {
                    let fits = self.claims[first_claim..]
                        .iter()
                        .any(|claim| fits(claim.attribute, held.quantity.dimension()));
                    held.serves |= fits;
                    found.extend(fits.then(|| held.quantity.clone()));
                }
            }
        }
        for claim in first_claim..self.claims.len() {
            for quantity in &found {
                if fits(self.claims[claim].attribute, quantity.dimension()) {
                    self.put(claim, quantity);
                }
            }
        }
    }

    /// The conditions that a head states.
    pub(super) fn stated(&mut self, head: u32) -> Rc<[Quantity]> {
        if let Some(known) = self.states.get(&head) {
            return Rc::clone(known);
        }
        // `airflow_cfm_at_5_psi`: a stroke is as long as a blank.
        let text = &self.passages[head as usize].text.replace('_', " ");
        if !text.bytes().any(|byte| byte.is_ascii_digit()) {
            return Rc::clone(&self.nothing);
        }
        let mut found: Vec<Quantity> = Vec::new();
        {
            let (mut tokens, mut measures, mut facts) = (Vec::new(), Vec::new(), Facts::default());
            tokens::tokens(text, self.habits.style, &mut tokens);
            measure::measures(text, &tokens, self.habits, self.memory, &mut measures);
            facts.of(text, &tokens, &measures);
            let bare = text.len() <= 16;
            let view = View {
                text,
                tokens: &tokens,
                measures: &measures,
                around: &Around::default(),
                facts: &facts,
            };
            for measure in &measures {
                let by_sound = || {
                    measure.dimension() == Some(Dimension::Length)
                        && tokens
                            .iter()
                            .any(|token| token.topic() == Some(Topic::Sound))
                };
                if let Some(quantity) = &measure.quantity
                    && (by_sound() || bare || is_condition(&view, measure) || text.contains('('))
                {
                    found.push(quantity.clone());
                }
            }
        }
        // A claim takes the first that fits; no head states more than a few.
        found.truncate(FARTHEST);
        let found: Rc<[Quantity]> = found.into();
        self.states.insert(head, Rc::clone(&found));
        found
    }

    /// A table that names one thing in several rows gives a curve of it: its depths or pressures are what the other
    /// figures of their rows hold under.
    pub(super) fn of_the_curves(&mut self) {
        let passages = self.passages;
        // By table and column: the claims, if all are exact and of one attribute that may be a condition.
        let mut columns: HashMap<(u32, u32), Figures, fnv::FnvBuildHasher> = HashMap::default();
        for (number, claim) in self.claims.iter().enumerate() {
            if claim.comparator != Comparator::Exact
                || !matches!(claim.attribute, Attribute::Depth | Attribute::Pressure)
            {
                continue;
            }
            let passage = &passages[claim.passage()];
            let Role::Cell {
                table, row, column, ..
            } = passage.role
            else {
                continue;
            };
            let alone = claim.place().len() + 4 >= passage.text.len();
            if column > 0 && alone && self.tables.above(table, row, column)[0].is_some() {
                columns
                    .entry((table, column))
                    .or_default()
                    .push((number, row));
            }
        }
        let mut served: Vec<usize> = Vec::new();
        for ((table, column), claims) in columns {
            let name = |row: u32| {
                self.tables
                    .first(table, row)
                    .map(|first| passages[first as usize].text.as_str())
            };
            // Each name stands in more rows than one.
            if claims.len() < 2 {
                continue;
            }
            let mut times: HashMap<&str, u32, fnv::FnvBuildHasher> = HashMap::default();
            for &(_, row) in &claims {
                if let Some(name) = name(row) {
                    *times.entry(name).or_default() += 1;
                }
            }
            let repeats = claims.iter().all(|&(_, row)| {
                name(row)
                    .and_then(|name| times.get(name))
                    .is_some_and(|&times| times > 1)
            });
            if !repeats {
                continue;
            }
            for &(number, row) in &claims {
                let Some(quantity) = self.claims[number].quantity.clone() else {
                    continue;
                };
                let mut any = false;
                for claim in number + 1..self.claims.len() {
                    let same = matches!(passages[self.claims[claim].passage()].role, Role::Cell { table: t, row: r, column: c, .. } if t == table && r == row && c > column);
                    if !same {
                        break;
                    }
                    if fits(self.claims[claim].attribute, quantity.dimension()) {
                        self.put(claim, &quantity);
                        any = true;
                    }
                }
                if any {
                    served.push(number);
                }
            }
        }
        self.take_out(served);
    }

    /// Takes out claims that turned out to be conditions of others, by their numbers.
    pub(super) fn take_out(&mut self, mut served: Vec<usize>) {
        if served.is_empty() {
            return;
        }
        served.sort_unstable();
        let mut number = 0;
        self.claims.retain(|_| {
            number += 1;
            served.binary_search(&(number - 1)).is_err()
        });
    }

    /// Gives the claims of a row what other cells of it say of them.
    pub(super) fn of_the_row(&mut self) {
        if self.at_depth.is_empty() && self.beside.is_empty() {
            return;
        }
        let passages = self.passages;
        let row_of = |claim: &Claim| match passages[claim.passage()].role {
            Role::Cell { table, row, .. } => Some((table, row)),
            _ => None,
        };
        let mut depths: HashMap<(u32, u32), Quantity, fnv::FnvBuildHasher> = HashMap::default();
        let mut sounds: HashMap<(u32, u32), usize, fnv::FnvBuildHasher> = HashMap::default();
        for (number, claim) in self.claims.iter().enumerate() {
            let Some(row) = row_of(claim) else { continue };
            match (claim.attribute, &claim.quantity) {
                (Attribute::Depth, Some(depth)) => {
                    depths.entry(row).or_insert_with(|| depth.clone());
                }
                (Attribute::Sound, _) => {
                    sounds.entry(row).or_insert(number);
                }
                _ => {}
            }
        }
        for claim in std::mem::take(&mut self.at_depth) {
            let depth = self
                .claims
                .get(claim)
                .and_then(row_of)
                .and_then(|row| depths.get(&row));
            if let Some(depth) = depth {
                self.put(claim, depth);
            }
        }
        for beside in std::mem::take(&mut self.beside) {
            // What a column says is a condition belongs to the claim before it; else only a distance is told.
            let before = || {
                self.claims[..beside.after.min(self.claims.len())]
                    .iter()
                    .enumerate()
                    .rev()
                    .take_while(|(_, claim)| row_of(claim) == Some(beside.row))
                    .find(|(_, claim)| fits(claim.attribute, beside.quantity.dimension()))
                    .map(|(number, _)| number)
            };
            let before = beside.said.then(before).flatten();
            let sound = sounds
                .get(&beside.row)
                .copied()
                .filter(|_| beside.quantity.dimension() == Dimension::Length);
            if let Some(claim) = before.or(sound) {
                self.put(claim, &beside.quantity);
            }
        }
    }
}

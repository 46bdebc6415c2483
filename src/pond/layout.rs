//! Where diffusers go in a pond.
//!
//! The places make one number as small as it can be: the mean over the surface of the square of the distance to the
//! nearest diffuser, counted in that diffuser's depths. As water is stirred so many depths far, that puts diffusers deep
//! and far apart, and doesn't depend on how many depths it is. The search is the same every time: one diffuser after the
//! other where it helps most, then each moved in turn to where it helps more, until none does; for two to six of them that from three beginnings.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::ground::{Cell, Ground};

/// Each diffuser is moved so often at the most.
const ROUNDS: usize = 12;
/// So many searches are made for two to six diffusers.
const STARTS: usize = 3;
/// For more diffusers than this no places are sought.
pub const MOST: usize = 24;
/// A move helps where the mean falls by more than this share.
const GAIN: f64 = 1e-6;

/// Where the end of a run lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// East and north, m.
    pub at: [f64; 2],
    /// Its depth, m.
    pub depth: f64,
    /// Its own depth, where it has one and doesn't lie on the bottom.
    pub own_depth: Option<f64>,
    /// Its run from the cabinet along the bottom, m; nothing where the cabinet has no place.
    pub run: Option<f64>,
    /// How much of that lies on land beyond the first shore, m.
    pub over_land: f64,
}

/// The places of a package's diffusers.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// In the order of its runs.
    pub places: Vec<Placed>,
    /// The place of the cabinet.
    pub cabinet: Option<[f64; 2]>,
    /// What was made small: the mean square of the distance in depths.
    pub spread: f64,
}

/// The layouts of a pond that are known already.
#[derive(Debug)]
pub struct Layouts {
    /// The water.
    pub ground: Ground,
    /// The cabinet's place, where it is stated.
    pub cabinet: Option<[f64; 2]>,
    known: Mutex<HashMap<Vec<Option<u64>>, Arc<Layout>>>,
}

impl Layouts {
    /// None yet.
    pub fn new(ground: Ground, cabinet: Option<[f64; 2]>) -> Layouts {
        Layouts {
            ground,
            cabinet,
            known: Mutex::default(),
        }
    }

    /// The layout of so many runs, each with the depth of its diffusers where that is their own; nothing for none or
    /// more than [`MOST`].
    pub fn of(&self, own_depths: &[Option<f64>]) -> Option<Arc<Layout>> {
        if !(1..=MOST).contains(&own_depths.len()) {
            return None;
        }
        let key: Vec<_> = own_depths.iter().map(|own| own.map(f64::to_bits)).collect();
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(layout) = known().get(&key) {
            return Some(layout.clone());
        }
        let layout = Arc::new(lay(&self.ground, self.cabinet, own_depths)?);
        known().insert(key, layout.clone());
        Some(layout)
    }
}

/// The best layout that is found.
fn lay(ground: &Ground, cabinet: Option<[f64; 2]>, own_depths: &[Option<f64>]) -> Option<Layout> {
    let search = Search::new(ground, own_depths)?;
    let chosen = search.chosen();
    let spread = search.mean(&search.nearest(&chosen, None));
    let mut places: Vec<Placed> = chosen
        .iter()
        .zip(own_depths)
        .map(|(&place, own)| {
            let Cell { at, depth, .. } = search.places[place];
            let run = cabinet.map(|from| ground.run(from, at));
            Placed {
                at,
                depth: own.map_or(depth, |own| own.min(depth)),
                own_depth: *own,
                run: run.map(|run| run.length),
                over_land: run.map_or(0.0, |run| run.over_land),
            }
        })
        .collect();
    // Which of alike diffusers has which place is open: the shortest run first, else from west to east.
    let order = |a: &Placed, b: &Placed| {
        let by_run = a.run.unwrap_or(0.0).total_cmp(&b.run.unwrap_or(0.0));
        by_run
            .then(a.at[0].total_cmp(&b.at[0]))
            .then(a.at[1].total_cmp(&b.at[1]))
    };
    for alike in places.chunk_by_mut(|a, b| a.own_depth == b.own_depth) {
        alike.sort_by(order);
    }
    Some(Layout {
        places,
        cabinet,
        spread,
    })
}

/// Share of the surface that lies within so many depths of a diffuser.
pub fn covered(ground: &Ground, places: &[Placed], reach_per_depth: f64) -> f64 {
    let cells = ground.cells();
    let is_stirred = |cell: &&Cell| {
        let mut places = places.iter();
        places.any(|one| {
            away(cell.at, one.at) <= (reach_per_depth * one.depth) * (reach_per_depth * one.depth)
        })
    };
    cells.iter().filter(is_stirred).count() as f64 / cells.len().max(1) as f64
}

/// Square of a distance.
fn away(a: [f64; 2], b: [f64; 2]) -> f64 {
    let (x, y) = (a[0] - b[0], a[1] - b[1]);
    x * x + y * y
}

/// As many soundings are tried from anywhere; of more, some.
const MOST_SOUNDINGS: usize = 600;

/// What is searched through.
struct Search<'a> {
    own_depths: &'a [Option<f64>],
    /// The surface.
    cells: Vec<Cell>,
    /// Where a diffuser may lie: the cells, and then the soundings.
    places: Vec<Cell>,
    /// The places that are tried from anywhere: every third cell in both directions, and soundings.
    coarse: Vec<usize>,
    /// The cell of each place of the lattice.
    by_lattice: HashMap<[usize; 2], usize>,
}

impl Search<'_> {
    fn new<'a>(ground: &Ground, own_depths: &'a [Option<f64>]) -> Option<Search<'a>> {
        let cells = ground.cells();
        if cells.len() < own_depths.len() {
            return None;
        }
        let soundings = ground.soundings();
        let is_coarse = |cell: &Cell| cell.lattice.iter().all(|number| number % 3 == 0);
        let coarse = (0..cells.len()).filter(|place| is_coarse(&cells[*place]));
        let every = soundings.len().div_ceil(MOST_SOUNDINGS).max(1);
        let sounded = (cells.len()..cells.len() + soundings.len()).step_by(every);
        let mut coarse: Vec<usize> = coarse.chain(sounded).collect();
        if coarse.len() < own_depths.len() {
            coarse = (0..cells.len()).collect();
        }
        let numbered = cells.iter().enumerate();
        Some(Search {
            own_depths,
            by_lattice: numbered
                .map(|(number, cell)| (cell.lattice, number))
                .collect(),
            places: [cells.as_slice(), &soundings].concat(),
            coarse,
            cells,
        })
    }

    /// A cell's square of the distance to a diffuser, in its depths.
    fn far(&self, cell: usize, diffuser: usize, place: usize) -> f64 {
        let there = &self.places[place];
        let depth = self.own_depths[diffuser].map_or(there.depth, |own| own.min(there.depth));
        away(self.cells[cell].at, there.at) / (depth * depth)
    }

    /// The least of each cell over the chosen diffusers but one.
    fn nearest(&self, chosen: &[usize], but: Option<usize>) -> Vec<f64> {
        let mut nearest = vec![f64::INFINITY; self.cells.len()];
        for (diffuser, &place) in chosen.iter().enumerate() {
            if but != Some(diffuser) {
                for (cell, least) in nearest.iter_mut().enumerate() {
                    *least = least.min(self.far(cell, diffuser, place));
                }
            }
        }
        nearest
    }

    fn mean(&self, nearest: &[f64]) -> f64 {
        nearest.iter().sum::<f64>() / nearest.len() as f64
    }

    /// The mean with one diffuser more, at `place`.
    fn mean_with(&self, nearest: &[f64], diffuser: usize, place: usize) -> f64 {
        let cells = nearest.iter().enumerate();
        let least = cells.map(|(cell, least)| least.min(self.far(cell, diffuser, place)));
        least.sum::<f64>() / nearest.len() as f64
    }

    /// The best place for a diffuser among the others, and the mean then.
    fn best(&self, nearest: &[f64], diffuser: usize, places: &[usize]) -> Option<(usize, f64)> {
        let tried = places
            .iter()
            .map(|&place| (place, self.mean_with(nearest, diffuser, place)));
        tried.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The places round one, two away at the most.
    fn around(&self, place: usize) -> Vec<usize> {
        let [column, row] = self.places[place].lattice;
        let near = |number: usize| (number.saturating_sub(2))..=(number + 2);
        let lattice = near(column).flat_map(|column| near(row).map(move |row| [column, row]));
        lattice
            .filter_map(|at| self.by_lattice.get(&at).copied())
            .collect()
    }

    /// The best of several searches: each begins with another place, the first with the best one.
    fn chosen(&self) -> Vec<usize> {
        // One has one best place, and many would take long.
        let starts = match self.own_depths.len() {
            2..=6 => STARTS,
            _ => 1,
        };
        let first =
            |start: usize| (start > 0).then(|| self.coarse[start * self.coarse.len() / STARTS]);
        let searches = (0..starts).map(|start| self.chosen_from(first(start)));
        let best = searches.min_by(|a, b| a.1.total_cmp(&b.1));
        best.map_or(Vec::new(), |(chosen, _)| chosen)
    }

    /// The places that one search finds, and the mean then.
    fn chosen_from(&self, first: Option<usize>) -> (Vec<usize>, f64) {
        let mut chosen: Vec<usize> = first.into_iter().collect();
        for diffuser in chosen.len()..self.own_depths.len() {
            let nearest = self.nearest(&chosen, None);
            let best = self.best(&nearest, diffuser, &self.coarse);
            chosen.push(best.map_or(self.coarse[0], |(place, _)| place));
        }
        let mut mean = self.mean(&self.nearest(&chosen, None));
        for _ in 0..ROUNDS {
            let before = mean;
            for diffuser in 0..chosen.len() {
                let others = self.nearest(&chosen, Some(diffuser));
                let near = self.around(chosen[diffuser]);
                let best = [&self.coarse, &near]
                    .into_iter()
                    .filter_map(|places| self.best(&others, diffuser, places))
                    .min_by(|a, b| a.1.total_cmp(&b.1));
                if let Some((place, now)) = best.filter(|(_, now)| *now < mean) {
                    (chosen[diffuser], mean) = (place, now);
                }
            }
            if mean > before * (1.0 - GAIN) {
                break;
            }
        }
        (chosen, mean)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Basin;

    #[test]
    fn one_diffuser_lies_in_the_middle_of_a_bowl_and_four_share_a_flat_pond_out() {
        let bowl = Layouts::new(Ground::circle(1000.0, Basin::Bowl, 2.0), None);
        let one = bowl.of(&[None]).unwrap();
        assert!(
            f64::hypot(one.places[0].at[0], one.places[0].at[1]) < 0.7,
            "{one:?}"
        );
        assert!(one.places[0].depth > 1.99);
        let flat = Layouts::new(Ground::circle(1000.0, Basin::Flat, 2.0), Some([40.0, 0.0]));
        let four = flat.of(&[None; 4]).unwrap();
        let out: Vec<f64> = four
            .places
            .iter()
            .map(|one| f64::hypot(one.at[0], one.at[1]))
            .collect();
        // The middle of a quarter of a disc: 4 sqrt(2) / (3 pi) of the radius, from geometry.
        let should = 4.0 * 2.0f64.sqrt() / (3.0 * std::f64::consts::PI)
            * (1000.0 / std::f64::consts::PI).sqrt();
        assert!(
            out.iter().all(|out| (out / should - 1.0).abs() < 0.04),
            "{out:?} {should}"
        );
        let runs: Vec<f64> = four.places.iter().filter_map(|one| one.run).collect();
        assert!(runs.len() == 4 && runs.is_sorted(), "{runs:?}");
        assert!(covered(&flat.ground, &four.places, 12.0) > 0.999);
        assert_eq!(flat.of(&[]), None);
    }
}

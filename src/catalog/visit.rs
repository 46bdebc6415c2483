//! Walking over every figure of an entry, and taking an excerpt of a catalog.
//!
//! Both serve the question "what if this figure were another": the excerpt holds a part and all
//! packages that use it, so that everything that rests on the figure can be asked again.

use std::collections::BTreeSet;

use super::fields::Kind;
use super::model::*;
use super::{Catalog, Mentions};

/// Calls `f` with each known figure and the figures of its condition.
fn known(figures: &mut [&mut Given<Figure>], f: &mut dyn FnMut(&mut Figure)) {
    for figure in figures {
        if let Given::Known(figure) = figure {
            with_conditions(figure, f);
        }
    }
}

fn with_conditions(figure: &mut Figure, f: &mut dyn FnMut(&mut Figure)) {
    f(figure);
    let conditions = &mut figure.conditions;
    for condition in [
        &mut conditions.pressure,
        &mut conditions.depth,
        &mut conditions.distance,
    ]
    .into_iter()
    .flatten()
    {
        f(condition);
    }
}

fn points(points: &mut Given<Vec<Point>>, f: &mut dyn FnMut(&mut Figure)) {
    if let Given::Known(points) = points {
        for point in points {
            f(&mut point.pressure);
            f(&mut point.flow);
            if let Some(power) = &mut point.power {
                f(power);
            }
        }
    }
}

impl Supply {
    fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        known(
            &mut [
                &mut self.voltage,
                &mut self.frequency,
                &mut self.power,
                &mut self.current,
            ],
            f,
        );
        points(&mut self.curve, f);
    }
}

impl Compressor {
    /// Every figure of it.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        self.supply.figures_mut(f);
        for variant in &mut self.variants {
            variant.figures_mut(f);
        }
        known(
            &mut [
                &mut self.starting_current,
                &mut self.rated,
                &mut self.open_flow,
                &mut self.max_pressure,
                &mut self.relief,
                &mut self.sound,
                &mut self.ambient_limit,
                &mut self.lowest_ambient,
            ],
            f,
        );
    }
}

impl Diffuser {
    /// Every figure of it.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        known(
            &mut [
                &mut self.flow,
                &mut self.volume,
                &mut self.source_radius,
                &mut self.stand,
                &mut self.entry.identity.mass,
            ],
            f,
        );
        points(&mut self.loss, f);
    }
}

impl Airline {
    /// Every figure of it.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        known(
            &mut [
                &mut self.size,
                &mut self.bore,
                &mut self.outside,
                &mut self.mass_per_length,
                &mut self.max_pressure,
                &mut self.max_temperature,
                &mut self.roll,
            ],
            f,
        );
    }
}

impl Cabinet {
    /// Every figure of it.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        known(
            &mut [
                &mut self.fan_flow,
                &mut self.fan_power,
                &mut self.fan_sound,
                &mut self.sound_reduction,
            ],
            f,
        );
    }
}

impl Claims {
    /// Every promised figure.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        let rows = [
            &mut self.depth,
            &mut self.area,
            &mut self.flow,
            &mut self.power,
            &mut self.running_cost,
            &mut self.sound,
            &mut self.turnover,
            &mut self.oxygen,
            &mut self.oxygen_uptake,
            &mut self.transfer_efficiency,
            &mut self.volume,
            &mut self.water_moved,
        ];
        for given in rows {
            if let Given::Known(rows) = given {
                rows.iter_mut().for_each(|row| with_conditions(row, f));
            }
        }
    }
}

impl Package {
    /// Every figure of it, those of its options included.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        self.claims.figures_mut(f);
        known(&mut [&mut self.bleed], f);
        if let Given::Known(uses) = &mut self.diffuser {
            for one in uses {
                known(&mut [&mut one.depth, &mut one.run], f);
            }
        }
        for option in &mut self.options {
            if let Given::Known(uses) = &mut option.airline {
                for segment in uses.iter_mut().flat_map(|one| &mut one.segments) {
                    known(&mut [&mut segment.length], f);
                }
            }
            if let Given::Known(trunk) = &mut option.trunk {
                for segment in &mut trunk.segments {
                    known(&mut [&mut segment.length], f);
                }
            }
            if let Given::Known(allows) = &mut option.allows {
                for allow in allows {
                    known(&mut [&mut allow.size, &mut allow.up_to], f);
                }
            }
        }
    }
}

impl<T: Clone> Parts<T> {
    /// Only those with the IDs.
    fn only(&self, ids: &BTreeSet<&str>) -> Parts<T> {
        let mut places: Vec<(usize, &str)> = ids
            .iter()
            .filter_map(|&id| Some((self.place(id)?, id)))
            .collect();
        places.sort_unstable();
        let mut some = Parts::default();
        for (place, id) in places {
            if let Some(part) = self.nth(place) {
                // IDs are unique in the whole, so they are in a part of it.
                let _ = some.add(id, part.clone());
            }
        }
        some
    }
}

impl Catalog {
    /// The packages `packages`, the part `also`, and every part any of these names; the site, the rating
    /// and the ranges are kept with the evidence they cite, and what was found wrong is left behind.
    pub fn excerpt(&self, packages: &BTreeSet<&str>, also: Option<(Kind, &str)>) -> Catalog {
        let mentions: Mentions = packages
            .iter()
            .flat_map(|package| {
                let on = format!("package.{package}");
                self.mentions.within(&on).cloned().collect::<Vec<_>>()
            })
            .collect();
        let of = |kind: Kind| -> BTreeSet<&str> {
            mentions
                .iter()
                .filter(|mention| mention.kinds.contains(&kind))
                .map(|mention| mention.id.as_str())
                .chain(also.filter(|(other, _)| *other == kind).map(|(_, id)| id))
                .collect()
        };
        // A range counts as long as the document that it cites is there.
        let sources = self.ranges.iter().filter_map(|range| range.source.known());
        let cited = sources.filter_map(|source| source.text.trim().strip_prefix("evidence."));
        let cited: BTreeSet<&str> = cited.collect();
        Catalog {
            name: self.name.clone(),
            documents: self.documents.clone(),
            evidence: self.evidence.only(&cited),
            site: self.site.clone(),
            rating: self.rating.clone(),
            ranges: self.ranges.clone(),
            compressors: self.compressors.only(&of(Kind::Compressor)),
            diffusers: self.diffusers.only(&of(Kind::Diffuser)),
            airlines: self.airlines.only(&of(Kind::Airline)),
            manifolds: self.manifolds.only(&of(Kind::Manifold)),
            fittings: self.fittings.only(&of(Kind::Fitting)),
            check_valves: self.check_valves.only(&of(Kind::CheckValve)),
            cabinets: self.cabinets.only(&of(Kind::Cabinet)),
            packages: self.packages.only(packages),
            mentions,
            ..Catalog::default()
        }
    }

    /// Calls `f` with every figure of its parts and packages.
    pub fn figures_mut(&mut self, f: &mut dyn FnMut(&mut Figure)) {
        self.compressors
            .iter_mut()
            .for_each(|part| part.figures_mut(f));
        self.diffusers
            .iter_mut()
            .for_each(|part| part.figures_mut(f));
        self.airlines
            .iter_mut()
            .for_each(|part| part.figures_mut(f));
        self.cabinets
            .iter_mut()
            .for_each(|part| part.figures_mut(f));
        self.packages
            .iter_mut()
            .for_each(|part| part.figures_mut(f));
    }
}

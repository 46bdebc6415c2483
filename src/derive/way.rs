//! The ways a package can be bought and laid, each of which is judged.

use crate::catalog::{
    Allow, Cabinet, Catalog, Given, Manifold, Package, PackageOption, Reference, Supply, Use,
};

/// One way to buy and lay a package.
#[derive(Debug, Clone, Copy)]
pub enum Way<'c> {
    /// With the airline of an option.
    Supplied(&'c PackageOption),
    /// With airline the buyer fits, as long as an entry of `allows` says.
    Allowed(&'c PackageOption, &'c Allow),
    /// The package as it is, where every diffuser states its own airline.
    Own,
}

impl<'c> Way<'c> {
    /// Every way of a package, in the catalog's order.
    pub fn all(package: &'c Package) -> Vec<Way<'c>> {
        let mut ways = Vec::new();
        for option in &package.options {
            if option.airline.is_there() {
                ways.push(Way::Supplied(option));
            }
            let allows = option.allows.known().map_or(&[][..], |allows| allows);
            ways.extend(allows.iter().map(|allow| Way::Allowed(option, allow)));
        }
        if ways.is_empty() && package.options.is_empty() {
            ways.push(Way::Own);
        }
        ways
    }

    /// The option, if there is one.
    pub fn option(self) -> Option<&'c PackageOption> {
        match self {
            Way::Supplied(option) | Way::Allowed(option, _) => Some(option),
            Way::Own => None,
        }
    }

    /// As a report calls it: the option's ID, and for airline of the buyer's its size and run.
    pub fn name(self) -> String {
        match self {
            Way::Supplied(option) => option.id.clone(),
            Way::Allowed(option, allow) => {
                let text = |figure: &Given<crate::catalog::Figure>| {
                    figure
                        .known()
                        .map_or("?".to_string(), |figure| figure.text().to_string())
                };
                format!(
                    "{}, {} of {}",
                    option.id,
                    text(&allow.up_to),
                    text(&allow.size)
                )
            }
            Way::Own => String::new(),
        }
    }

    /// The compressors: the option's own, else the package's.
    pub fn compressors(self, package: &'c Package) -> &'c Given<Vec<Use>> {
        match self.option() {
            Some(option) if option.compressor.is_there() => &option.compressor,
            _ => &package.compressor,
        }
    }

    /// The supply it is sold for: the option's own, else the package's.
    pub fn supply(self, package: &'c Package) -> &'c Given<Supply> {
        match self.option() {
            Some(option) if option.supply.is_there() => &option.supply,
            _ => &package.supply,
        }
    }

    /// The manifold: the option's own, else the package's.
    pub fn manifold(self, package: &'c Package) -> &'c Given<Use> {
        match self.option() {
            Some(option) if option.manifold.is_there() => &option.manifold,
            _ => &package.manifold,
        }
    }

    /// The manifold's entry, where it is known.
    pub fn manifold_part(self, catalog: &'c Catalog, package: &'c Package) -> Option<&'c Manifold> {
        let named = self.manifold(package).known()?;
        catalog.manifolds.get(&named.part.id)
    }

    /// The cabinet: the option's own, else the package's.
    pub fn cabinet(self, package: &'c Package) -> &'c Given<Use> {
        match self.option() {
            Some(option) if option.cabinet.is_there() => &option.cabinet,
            _ => &package.cabinet,
        }
    }

    /// The cabinet's entry, where it is known.
    pub fn cabinet_part(self, catalog: &'c Catalog, package: &'c Package) -> Option<&'c Cabinet> {
        let named = self.cabinet(package).known()?;
        catalog.cabinets.get(&named.part.id)
    }

    /// The fittings: the option's own, else the package's.
    pub fn fittings(self, package: &'c Package) -> &'c Given<Vec<Reference>> {
        match self.option() {
            Some(option) if option.fittings.is_there() => &option.fittings,
            _ => &package.fittings,
        }
    }
}

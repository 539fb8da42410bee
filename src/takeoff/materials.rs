//! From the products a layout names, its own and those of the file it shares, to the ones its steps use. Comes in: a
//! [`Layout`] and its sources. Goes out: [`Materials`], in which every step finds its products and what it needs of
//! them, or the faults, each where it stands.

use std::collections::BTreeMap;

use super::batch_mix::{densities, ratio_and_gauge};
use super::gauge::{Amount, MixFault};
use super::mix::measurable;
use crate::layout::{
    CoatAmount, Content, Excerpt, Fault, Layout, MixRatio, Place, Placed, Product, ProductKind,
    Sources, Step, Task, nearest_word, read_products,
};
use crate::units::{Currency, LengthUnit, Share};

/// The products of a layout.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Materials {
    /// All of them by their ids.
    products: BTreeMap<String, Product>,
    /// The currency of all prices.
    pub currency: Option<Currency>,
}

impl Materials {
    /// The product that a step names.
    #[must_use]
    pub fn product(&self, id: &str) -> Option<&Product> {
        self.products.get(id)
    }
}

/// Where products stand.
struct Shelf<'a> {
    /// The shared file: its name in the layout, its text.
    file: Option<(&'a Placed<String>, String)>,
    /// Every product, and whether it stands in the shared file.
    products: BTreeMap<String, (Product, bool)>,
}

/// Finds the products that the steps of a layout use.
///
/// # Errors
/// The faults of the shared file; products that are not defined, of the wrong kind, without what a step needs of them,
/// or mixed in a ratio that cannot be measured.
pub fn materials(layout: &Layout, sources: &Sources) -> Result<Materials, Vec<Fault>> {
    let work = &layout.work;
    let mut faults = Vec::new();
    let mut currency = work.job.currency.as_ref().map(|currency| currency.value);
    let mut shelf = Shelf {
        file: None,
        products: BTreeMap::new(),
    };
    if let Some(name) = &work.products_file {
        let bytes = sources.get(&name.value).unwrap_or_default();
        let text = String::from_utf8_lossy(bytes).into_owned();
        let read = read_products(&text);
        shelf.file = Some((name, text));
        match read {
            Ok(file) => {
                if let (Some(own), Some(shared)) = (currency, &file.currency)
                    && own != shared.value
                {
                    faults.push(shelf.fault(
                        true,
                        shared.place,
                        &format!(
                            "the job is paid in {}, its products file in {}",
                            own.code(),
                            shared.value.code()
                        ),
                        "another currency",
                        "nothing is converted: give all prices in one currency",
                    ));
                }
                currency = currency.or(file.currency.map(|currency| currency.value));
                shelf.put(file.products, true, &mut faults);
            }
            Err(found) => {
                for fault in found {
                    let help = fault.help.clone().unwrap_or_default();
                    faults.push(shelf.fault(
                        true,
                        fault.place,
                        &fault.message,
                        &fault.label,
                        &help,
                    ));
                }
                return Err(faults);
            }
        }
    }
    shelf.put(work.products.clone(), false, &mut faults);
    for step in &work.steps {
        shelf.check_step(step, &mut faults);
    }
    let all: Vec<&(Product, bool)> = shelf.products.values().collect();
    for (product, in_file) in all {
        shelf.check_product(product, *in_file, layout, &mut faults);
    }
    faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
    if faults.is_empty() {
        Ok(Materials {
            products: shelf
                .products
                .into_iter()
                .map(|(id, (product, _))| (id, product))
                .collect(),
            currency,
        })
    } else {
        Err(faults)
    }
}

impl Shelf<'_> {
    /// Puts products on the shelf. The layout's own go before those of the file: a boat's dearer chandler, say.
    fn put(&mut self, products: Vec<Product>, in_file: bool, faults: &mut Vec<Fault>) {
        for product in products {
            let id = product.id.clone();
            let known = self.products.insert(id.value.clone(), (product, in_file));
            if let Some((_, was_in_file)) = known
                && was_in_file == in_file
            {
                faults.push(self.fault(
                    in_file,
                    id.place,
                    &format!("two products are called \"{}\"", id.value),
                    "the second",
                    "steps know a product by its id; give each its own",
                ));
            }
        }
    }

    /// A fault of a product, which may stand in the shared file.
    fn fault(&self, in_file: bool, place: Place, message: &str, label: &str, help: &str) -> Fault {
        let fault = match (&self.file, in_file) {
            (Some((name, text)), true) => Fault::new(name.place, message, "in this file")
                .with_excerpt(Excerpt::at(&name.value, text, place, label)),
            _ => Fault::new(place, message, label),
        };
        if help.is_empty() {
            fault
        } else {
            fault.with_help(help)
        }
    }

    /// The product that is named, if it is of a kind that serves.
    fn find(
        &self,
        name: &Placed<String>,
        in_file: bool,
        kinds: &[ProductKind],
        faults: &mut Vec<Fault>,
    ) -> Option<&Product> {
        let Some((product, _)) = self.products.get(&name.value) else {
            let known = || self.products.keys().map(String::as_str);
            let help = match nearest_word(&name.value, known()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None if self.products.is_empty() => {
                    "add [[product]] with this id, or `products = \"...\"` with a file of them"
                        .into()
                }
                None => format!(
                    "add [[product]] with this id; there are {}",
                    known().collect::<Vec<_>>().join(", ")
                ),
            };
            faults.push(self.fault(
                in_file,
                name.place,
                &format!("no product is called \"{}\"", name.value),
                "not defined",
                &help,
            ));
            return None;
        };
        if kinds.contains(&product.kind) {
            return Some(product);
        }
        let words: Vec<String> = kinds
            .iter()
            .map(|kind| format!("\"{}\"", kind.word()))
            .collect();
        faults.push(self.fault(
            in_file,
            name.place,
            &format!("\"{}\" is of the kind {}", name.value, product.kind.word()),
            "of another kind",
            &format!("name a product whose kind is {}", words.join(" or ")),
        ));
        None
    }

    fn check_step(&self, step: &Step, faults: &mut Vec<Fault>) {
        match &step.task {
            Task::Sand { .. } => {}
            Task::Clean { product, .. } => {
                let kinds = [ProductKind::Cleaner, ProductKind::Thinner];
                self.find(product, false, &kinds, faults);
            }
            Task::Caulk { product, .. } => {
                self.find(product, false, &[ProductKind::Caulk], faults);
            }
            Task::Coat(coat) => {
                if let Some(load) = &coat.aggregate {
                    self.find(&load.product, false, &[ProductKind::Aggregate], faults);
                }
                let Some(product) = self.find(&coat.product, false, &[ProductKind::Paint], faults)
                else {
                    return;
                };
                let amount = &coat.amount;
                if matches!(amount.value, CoatAmount::DryFilm(_)) && product.solids.is_none() {
                    faults.push(
                        Fault::new(
                            amount.place,
                            format!("\"{}\" has no volume solids", product.id.value),
                            "a dry film needs them",
                        )
                        .with_help("add `solids` to the product from its data sheet, or give `wet_film`, `rate` or `mass`"),
                    );
                }
                if matches!(amount.value, CoatAmount::Mass(_)) && product.density.is_none() {
                    faults.push(
                        Fault::new(
                            amount.place,
                            format!("\"{}\" has no density", product.id.value),
                            "a mass per area needs it",
                        )
                        .with_help("add for example `density = \"1.2 kg/L\"` to the product from its data sheet"),
                    );
                }
                if coat.thin.value > Share::NONE && product.thinner.is_none() {
                    faults.push(
                        Fault::new(
                            coat.thin.place,
                            format!("\"{}\" has no thinner", product.id.value),
                            "thinned with what?",
                        )
                        .with_help(
                            "add `thinner = \"...\"` to the product, the one its data sheet names",
                        ),
                    );
                }
            }
        }
    }

    fn check_product(
        &self,
        product: &Product,
        in_file: bool,
        layout: &Layout,
        faults: &mut Vec<Fault>,
    ) {
        if let Some(thinner) = &product.thinner {
            self.find(thinner, in_file, &[ProductKind::Thinner], faults);
        }
        if let Some(catalyst) = &product.catalyst {
            self.find(&catalyst.product, in_file, &[ProductKind::Catalyst], faults);
            if product.density.is_none() {
                faults.push(self.fault(
                    in_file,
                    catalyst.place,
                    &format!("\"{}\" has no density", product.id.value),
                    "a catalyst by mass needs it",
                    "add for example `density = \"1.2 kg/L\"` from its data sheet",
                ));
            }
        }
        self.check_cans(product, in_file, faults);
        let job = &layout.work.job;
        if let Some(mix) = &product.mix
            && let Some((ratio, gauge)) = ratio_and_gauge(mix, job)
            && let Err(problem) =
                measurable(&ratio, &densities(mix), &gauge, job.mix_tolerance.value)
        {
            let (label, help) = unmeasurable(&problem, mix, layout.units);
            faults.push(self.fault(
                in_file,
                mix.place,
                "this ratio cannot be measured with the cup or the scale of the job",
                &label,
                &help,
            ));
        }
    }

    /// Grit is sold by mass, all else by volume; a paint also by mass, where its density is known.
    fn check_cans(&self, product: &Product, in_file: bool, faults: &mut Vec<Fault>) {
        let parts = product.mix.iter().flat_map(|mix| &mix.parts);
        let own = product.cans.iter().map(|can| (can, product.density));
        let of_parts = parts.flat_map(|part| part.cans.iter().map(|can| (can, part.density)));
        for (can, density) in own.chain(of_parts) {
            let (problem, help) = match (product.kind, can.content) {
                (ProductKind::Aggregate | ProductKind::Catalyst, Content::Volume(_)) => (
                    "this is used by mass, but sold by volume",
                    "write what the can weighs, for example \"2 kg\"",
                ),
                (ProductKind::Aggregate | ProductKind::Catalyst, Content::Mass(_)) => continue,
                (_, Content::Mass(_)) if density.is_none() => (
                    "sold by mass, and its density is not known",
                    "add for example `density = \"1.2 kg/L\"` from its data sheet",
                ),
                _ => continue,
            };
            faults.push(self.fault(in_file, can.place, problem, "this can", help));
        }
    }
}

/// What stands under a ratio that cannot be measured, and what would help.
fn unmeasurable(problem: &MixFault, mix: &MixRatio, units: LengthUnit) -> (String, String) {
    let MixFault::TooCoarse {
        component,
        misreading,
        step,
        ..
    } = problem
    else {
        return (problem.to_string(), String::new());
    };
    let part = mix.parts.get(*component).map_or("", |part| &part.title);
    let label = format!(
        "half a mark is {:.0} % of the {part}, even in a full vessel",
        misreading.to_per_cent()
    );
    let help = match step {
        Amount::Volume(volume) => format!(
            "use a `cup` with marks every {} or finer, or `mix_by = \"mass\"` with a `scale`; a larger `mix_tolerance` where \
             the data sheet allows it",
            volume.show(units)
        ),
        Amount::Mass(mass) => format!("use a `scale` that shows {} or less", mass.show(units)),
    };
    (label, help)
}

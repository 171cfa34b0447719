//! Values put in place of others for a while, and taken out again.

use crate::language::condition::FactRef;

use super::{Items, Value};

/// What stood in a place before something else was tried there.
#[derive(Debug)]
pub(crate) struct Before {
    at: FactRef,
    item: Option<usize>,
    value: Value,
}

impl Before {
    pub(crate) fn new(at: FactRef, item: Option<usize>, value: Value) -> Self {
        Self { at, item, value }
    }

    /// Changes places with what stands there.
    pub(crate) fn swap(&mut self, groups: &mut [Items]) {
        if let Some(place) = place(groups, self.at, self.item) {
            std::mem::swap(place, &mut self.value);
        }
    }
}

/// Puts a value in its place; gives what stood there, or nothing when there is no such place.
pub(crate) fn replace(
    groups: &mut [Items],
    at: FactRef,
    item: Option<usize>,
    value: Value,
) -> Option<Before> {
    let place = place(groups, at, item)?;
    let before = std::mem::replace(place, value);
    Some(Before::new(at, item, before))
}

/// Puts everything back, the last first.
pub(crate) fn put_back(groups: &mut [Items], before: &mut Vec<Before>) {
    while let Some(mut last) = before.pop() {
        last.swap(groups);
    }
}

/// Changes places with what stands there, all of them.
pub(crate) fn swap_all(groups: &mut [Items], values: &mut [Before]) {
    for value in values {
        value.swap(groups);
    }
}

fn place(groups: &mut [Items], at: FactRef, item: Option<usize>) -> Option<&mut Value> {
    match (groups.get_mut(at.group)?, item) {
        (Items::Once(values), _) => values.get_mut(at.fact),
        (Items::Many(items), item) => items.as_mut()?.get_mut(item?)?.get_mut(at.fact),
    }
}

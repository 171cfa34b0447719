//! How a practice's files are laid over the shipped ones: new files are added, measures may be put in place of shipped ones in their
//! words alone, and nothing of a practice sets a shipped measure aside.

use crate::library::{Care, Library};
use crate::mistake::Problem;
use crate::mistakes::departure::ShippedMeasureSetAside;
use crate::mistakes::wording::{MeasureChangesMoreThanWords, ShippedFileReplaced};
use crate::rulebook::{Layer, Measure, MeasureKind, Rulebook};
use crate::wording::FROM_PRACTICE;

/// Lays a practice's files over the shipped ones: new files are added, measures may be put in place of shipped ones.
pub(super) fn layered(
    mut base: Library,
    own: Library,
    problems: &mut Vec<Problem>,
) -> (Library, Vec<String>) {
    let mut replaced = Vec::new();
    for (path, source) in own.files {
        let path = path
            .strip_prefix("languages/")
            .and_then(|rest| {
                let (id, name) = rest.split_once('/')?;
                // The small words of a language are the shipped ones; a language of the practice's own brings its file.
                let whole = base.get(&path).is_none()
                    && ["language.yaml", "made-from.yaml", "refused-words.yaml"].contains(&name);
                (!whole).then(|| format!("languages/{id}/{FROM_PRACTICE}{name}"))
            })
            .unwrap_or(path);
        match base.files.iter_mut().find(|(other, _)| *other == path) {
            None => {
                base.own.push(path.clone());
                base.files.push((path, source));
            }
            Some(shipped) if path.starts_with("measures/") => {
                let stem = path.rsplit('/').next().unwrap_or(&path);
                replaced.push(stem.trim_end_matches(".yaml").to_owned());
                base.own.push(path);
                shipped.1 = source;
            }
            Some(_) => problems.push(Problem::of_file(
                &source.label,
                ShippedFileReplaced { file: path },
            )),
        }
    }
    base.files.sort_by(|a, b| a.0.cmp(&b.0));
    base.own.sort();
    base.strays.extend(own.strays);
    (base, replaced)
}

/// A shipped measure with other sentences is the same measure in all else.
pub(super) fn words_alone(replaced: &[String], rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    let Ok((shipped, _)) = Rulebook::load(&Library::embedded(), Care::Trusted) else {
        return;
    };
    for id in replaced {
        let (Some(own), Some(shipped)) = (rulebook.measures.get(id), shipped.measures.get(id))
        else {
            continue;
        };
        if let Some(what) = difference(own, shipped) {
            problems.push(Problem::at(
                own.place.clone(),
                MeasureChangesMoreThanWords {
                    id: id.clone(),
                    what: what.to_owned(),
                },
            ));
        }
    }
}

/// A practice's own measure may not rule out, cover or hold up a shipped one: that would loosen without a departure.
pub(super) fn set_aside(replaced: &[String], rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    let is_shipped = |id: &String| {
        replaced.contains(id)
            || rulebook
                .measures
                .get(id)
                .is_some_and(|measure| measure.layer == Layer::Base)
    };
    let own = rulebook
        .measures
        .values()
        .filter(|measure| measure.layer == Layer::Practice && !replaced.contains(&measure.id));
    for measure in own {
        let lists: &[(&str, &[String])] = match &measure.kind {
            MeasureKind::Never { rules_out, .. } => &[("rules-out", rules_out)],
            MeasureKind::Do {
                covers,
                comes_before,
                ..
            } => &[("covers", covers), ("comes-before", comes_before)],
        };
        for (key, ids) in lists {
            for shipped in ids.iter().filter(|id| is_shipped(id)) {
                problems.push(Problem::at(
                    measure.place.clone(),
                    ShippedMeasureSetAside {
                        id: measure.id.clone(),
                        key: (*key).to_owned(),
                        shipped: shipped.clone(),
                    },
                ));
            }
        }
    }
}

fn difference(own: &Measure, shipped: &Measure) -> Option<&'static str> {
    if own.for_person != shipped.for_person {
        return Some("`for`");
    }
    if own.control != shipped.control {
        return Some("`control`");
    }
    if own.step != shipped.step {
        return Some("`step`");
    }
    match (&own.kind, &shipped.kind) {
        (
            MeasureKind::Do {
                start,
                only_from,
                covers,
                comes_before,
                ..
            },
            MeasureKind::Do {
                start: start_0,
                only_from: only_from_0,
                covers: covers_0,
                comes_before: comes_before_0,
                ..
            },
        ) => [
            (start == start_0, "`start`"),
            (only_from == only_from_0, "`only-from`"),
            (covers == covers_0, "`covers`"),
            (comes_before == comes_before_0, "`comes-before`"),
        ]
        .into_iter()
        .find(|(same, _)| !same)
        .map(|(_, what)| what),
        (
            MeasureKind::Never { rules_out, .. },
            MeasureKind::Never {
                rules_out: rules_out_0,
                ..
            },
        ) => (rules_out != rules_out_0).then_some("`rules-out`"),
        _ => Some("`do` or `never`"),
    }
}

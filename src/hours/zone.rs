//! Time zones by name, out of the table that is built into the program: the same on every machine.

use std::sync::LazyLock;

use jiff::tz::{TimeZone, TimeZoneDatabase};

use crate::words::{closest, folded};

static ZONES: LazyLock<TimeZoneDatabase> = LazyLock::new(TimeZoneDatabase::bundled);

/// The table's word for a machine on which nobody has set a zone.
const NO_PLACE: &str = "Factory";

/// The zone of a name such as `Europe/Lisbon`; upper and lower case do not matter.
#[must_use]
pub fn named(name: &str) -> Option<TimeZone> {
    let zone = ZONES.get(name.trim()).ok()?;
    (!zone.is_unknown() && !name.trim().eq_ignore_ascii_case(NO_PLACE)).then_some(zone)
}

/// The name nearest to a mistyped one, or that of a city told without its part of the world.
#[must_use]
pub fn close(name: &str) -> Option<String> {
    let names: Vec<String> = ZONES
        .available()
        .map(|name| name.as_str().to_owned())
        .filter(|name| name != NO_PLACE)
        .collect();
    let city = |name: &str| folded(name.rsplit('/').next().unwrap_or(name));
    let wanted = city(name);
    // A name with the part of the world goes before a lone one: `Asia/Singapore` before `Singapore`.
    let of_city = |wanted: &str| {
        let mut found: Vec<&String> = names.iter().filter(|name| city(name) == wanted).collect();
        found.sort_by_key(|name| (!name.contains('/'), name.starts_with("Etc/")));
        found.first().map(|name| (*name).clone())
    };
    let near_city = || {
        let cities: Vec<String> = names.iter().map(|name| city(name)).collect();
        of_city(&closest(&wanted, cities.iter().map(String::as_str))?)
    };
    let near_name = || closest(name, names.iter().map(String::as_str));
    of_city(&wanted).or_else(|| {
        if name.contains('/') {
            near_name().or_else(near_city)
        } else {
            near_city().or_else(near_name)
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zones_are_found_by_name() {
        for name in ["Europe/Lisbon", "europe/lisbon", " Asia/Kolkata ", "UTC"] {
            assert!(named(name).is_some(), "{name}");
        }
        for name in [
            "",
            "Lisbon",
            "Europe/Lissabon",
            "Factory",
            "Etc/Unknown",
            "+01:00",
            "../etc/passwd",
        ] {
            assert!(named(name).is_none(), "{name}");
        }
    }

    #[test]
    fn a_mistyped_zone_has_a_near_one() {
        for (typed, meant) in [
            ("Lisbon", "Europe/Lisbon"),
            ("lissabon", "Europe/Lisbon"),
            ("Europe/Lisboa", "Europe/Lisbon"),
            ("Portugal/Lisbon", "Europe/Lisbon"),
            ("America/New York", "America/New_York"),
            ("new-york", "America/New_York"),
            ("singapur", "Asia/Singapore"),
        ] {
            assert_eq!(close(typed).as_deref(), Some(meant), "{typed}");
        }
        assert_eq!(close("my own time"), None);
    }
}

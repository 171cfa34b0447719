//! Colours that carry text, by the formula of WCAG 2.2 (relative luminance and contrast ratio, in its glossary).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;

use perchside::templates::Templates;

/// Relative luminance of an sRGB colour `#rgb` or `#rrggbb`.
fn luminance(colour: &str) -> f64 {
    let hex = colour.strip_prefix('#').unwrap();
    let full: String = if hex.len() == 3 {
        hex.chars().flat_map(|c| [c, c]).collect()
    } else {
        hex.to_owned()
    };
    assert_eq!(full.len(), 6, "{colour}");
    let linear = |at: usize| {
        let value = f64::from(u8::from_str_radix(&full[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(0) + 0.7152 * linear(2) + 0.0722 * linear(4)
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Published pairs: 21:1 for black on white (WCAG 2.2, glossary); #767676 is the lightest grey that reaches 4.5:1 on white and #777777
/// misses it (W3C, failure and technique pages G18); red on white 4.0:1, #949494 on white just over 3:1 (from memory of the same pages).
#[test]
fn the_formula_gives_the_published_pairs() {
    assert!((contrast("#000", "#fff") - 21.0).abs() < 1e-9);
    assert!((contrast("#fff", "#fff") - 1.0).abs() < 1e-9);
    for (colour, ratio) in [
        ("#767676", 4.54),
        ("#777777", 4.48),
        ("#ff0000", 4.0),
        ("#949494", 3.03),
    ] {
        let found = contrast(colour, "#ffffff");
        assert!((found - ratio).abs() < 0.005, "{colour}: {found}");
    }
}

/// The schemes of the style sheet: what stands before them, and their colours over those of the first.
fn schemes() -> Vec<(String, BTreeMap<String, String>)> {
    let templates = Templates::embedded();
    let sheet = templates.get("style/tokens.css").unwrap();
    let mut schemes: Vec<(String, BTreeMap<String, String>)> = Vec::new();
    let mut media = "light".to_owned();
    for line in sheet.lines() {
        if let Some(query) = line.strip_prefix("@media ") {
            media = query.trim_end_matches(" {").to_owned();
        }
        let colours: BTreeMap<String, String> = line
            .split(';')
            .filter_map(|part| {
                let (name, value) = part.rsplit_once("--")?.1.split_once(':')?;
                let value = value.trim();
                value
                    .starts_with('#')
                    .then(|| (name.to_owned(), value.to_owned()))
            })
            .collect();
        if !colours.is_empty() {
            schemes.push((media.clone(), colours));
        }
    }
    schemes
}

#[test]
fn every_scheme_can_be_read() {
    let schemes = schemes();
    assert_eq!(schemes.len(), 5, "{schemes:?}");
    for (media, colours) in schemes {
        let pair = |ink: &str, paper: &str, least: f64| {
            let found = contrast(&colours[ink], &colours[paper]);
            assert!(
                found >= least,
                "{media}: {ink} on {paper} is {found:.2}, not {least}"
            );
        };
        for ground in ["paper", "soft"] {
            pair("ink", ground, 7.0);
            for mark in ["leaf", "ochre", "brick"] {
                pair(mark, ground, 4.5);
            }
            // Lines that carry meaning.
            pair("line", ground, 3.0);
        }
        if media.contains("more") {
            pair("ink", "paper", 18.0);
        }
    }
}

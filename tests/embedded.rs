//! What is built into the program is what stands in `rules/`: the texts, the trees of them, and the fingerprint.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::path::Path;

use perchside::embedded::{Embedded, RULES};
use perchside::fingerprint;
use perchside::library::{Care, Library, document, document_without};
use perchside::mistake::render;
use perchside::rulebook::{LogBook, Rulebook};
use perchside::source::Source;
use perchside::tree::Node;
use perchside::tree::packed::{pack, unpack};
use perchside::yaml;

fn folder() -> Library {
    let rules = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    Library::folder(&rules).unwrap_or_else(|problems| panic!("{}", render(&problems, false)))
}

/// The built-in files as nothing but paths and texts.
fn texts() -> Library {
    Library::of(
        RULES
            .iter()
            .map(|file| (file.path().to_owned(), file.text.to_owned())),
    )
}

#[test]
fn every_data_file_of_the_folder_is_built_in_with_its_text() {
    let of = |library: &Library| -> Vec<(String, String)> {
        let files = library.files.iter();
        files
            .map(|(path, source)| (path.clone(), source.text.to_string()))
            .collect()
    };
    let built_in = of(&Library::embedded());
    assert_eq!(built_in, of(&folder()));
    assert!(built_in.is_sorted_by_key(|(path, _)| path));
}

/// Types, every digit and the order of keys among it: nodes are equal only when all of that is.
#[test]
fn every_tree_that_is_built_in_is_the_one_its_text_stands_for() {
    let mut trees = 0;
    for file in RULES {
        let tree = file.tree.and_then(|tree| unpack(tree, None));
        if !file.label.ends_with(".yaml") {
            assert_eq!(tree, None, "{}", file.label);
            continue;
        }
        let source = Source::new(file.label, file.text);
        let read = yaml::read(&source)
            .unwrap_or_else(|problems| panic!("{}", render(&problems, false)))
            .root;
        assert_eq!(tree.as_ref(), Some(&read), "{}", file.label);
        // A nought with a sign is equal to one without.
        assert_eq!(format!("{tree:?}"), format!("{:?}", Some(read)));
        trees += 1;
    }
    assert!(trees > 700, "{trees}");
}

#[test]
fn the_fingerprint_that_is_built_in_is_that_of_the_files() {
    let parts: Vec<&[u8]> = RULES
        .iter()
        .flat_map(|file| [file.path().as_bytes(), file.text.as_bytes()])
        .collect();
    let worked_out = fingerprint::of_parts(&parts);
    assert_eq!(Library::embedded().fingerprint(), worked_out);
    assert_eq!(texts().fingerprint(), worked_out);
    assert_eq!(folder().fingerprint(), worked_out);
}

#[test]
fn a_library_with_any_other_file_has_a_fingerprint_of_its_own() {
    let built_in = Library::embedded().fingerprint();
    let mut fewer = Library::embedded();
    fewer.files.pop();
    let mut more = Library::embedded();
    let extra = Source::new("rules/zzz.yaml", "id: zzz");
    more.files.push(("zzz.yaml".to_owned(), extra));
    let mut renamed = Library::embedded();
    renamed.files[0].0.push('x');
    let mut changed = Library::embedded();
    changed.files[0].1.text.to_mut().push('\n');
    for library in [fewer, more, renamed, changed] {
        assert_ne!(library.fingerprint(), built_in);
    }
}

#[test]
fn a_text_that_was_changed_is_read_anew() {
    let mut library = Library::embedded();
    let (_, source) = &mut library.files[0];
    assert!(source.as_embedded().is_some());
    source.text = "changed: yes".into();
    assert!(source.as_embedded().is_none());
    let root = document(source).unwrap().root;
    assert_eq!(
        root.get("changed").and_then(|it| it.scalar()).as_deref(),
        Some("yes")
    );
}

#[test]
fn only_the_key_that_is_left_out_is_missing() {
    let source = Source::embedded(
        RULES
            .iter()
            .find(|file| file.path().ends_with("/child-within-reach.yaml"))
            .unwrap(),
    );
    let whole = document(&source).unwrap().root;
    let less = document_without(&source, Some("examples")).unwrap().root;
    let Node::Map(mut entries) = whole else {
        panic!("a rule is a map");
    };
    let before = entries.len();
    entries.retain(|(key, _)| key != "examples");
    assert_eq!(entries.len() + 1, before);
    assert_eq!(less, Node::Map(entries));
}

/// Which way a rulebook was read makes no difference to what it says.
#[test]
fn a_rulebook_out_of_trees_is_the_rulebook_out_of_texts() {
    let load = |library: &Library| {
        let (it, found) = Rulebook::load(library, Care::Trusted).unwrap();
        assert!(found.is_empty());
        let (book, found) = LogBook::load(library, &it.tables, Care::Trusted).unwrap();
        assert!(found.is_empty());
        [
            ("questionnaire", format!("{:?}", it.questionnaire)),
            ("vocabulary", format!("{:?}", it.vocabulary.groups)),
            ("regions", format!("{:?}", it.vocabulary.tables.regions)),
            ("rules", format!("{:?}", it.rules)),
            ("gates", format!("{:?}", it.gates)),
            ("functions", format!("{:?}", it.functions)),
            ("figures", format!("{:?}", it.figures)),
            ("sayings", format!("{:?}", it.sayings)),
            ("sign", format!("{:?}", it.sign)),
            ("measures", format!("{:?}", it.measures)),
            ("tables", format!("{:?}", it.tables)),
            ("tongue", format!("{:?}", it.tongue)),
            ("fingerprint", it.fingerprint.clone()),
            ("log questions", format!("{:?}", book.questionnaire)),
            ("log vocabulary", format!("{:?}", book.vocabulary.groups)),
            ("log rules", format!("{:?}", book.rules)),
            ("checks", format!("{:?}", book.checks)),
        ]
    };
    let (trees, texts) = (load(&Library::embedded()), load(&texts()));
    for ((part, tree), (_, text)) in trees.iter().zip(&texts) {
        assert!(tree == text, "{part}");
    }
}

/// Who looks at everything reads the texts, also those of the rulebook inside the program.
#[test]
fn a_quick_load_goes_by_the_trees_and_a_full_look_by_the_texts() {
    let mut library = Library::embedded();
    let (_, source) = library
        .files
        .iter_mut()
        .find(|(path, _)| path == "cautions.yaml")
        .unwrap();
    // A tree that is not the one the text stands for shows which of them was read.
    let file: &'static Embedded = Box::leak(Box::new(Embedded {
        label: "rules/cautions.yaml",
        text: source.as_embedded().unwrap().text,
        tree: Some(pack(&Node::List(Vec::new())).leak()),
    }));
    *source = Source::embedded(file);
    let cautions = |care| {
        Rulebook::load(&library, care)
            .unwrap()
            .0
            .tables
            .cautions
            .len()
    };
    assert_eq!(cautions(Care::Trusted), 0);
    assert!(cautions(Care::Full) > 0);
}

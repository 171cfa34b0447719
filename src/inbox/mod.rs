//! Enquiries as they come: files, folders and streams taken apart into single forms, in order and without reading ahead of what
//! is asked for. Knows nothing of what a form means.
//!
//! | form | one enquiry is |
//! |---|---|
//! | YAML | a document; several in one file stand between lines of `---` |
//! | JSON | an object, or each object of an array |
//! | JSON Lines | a line (each a JSON text of RFC 8259) |
//! | CSV | a row below the headers (RFC 4180; also with `;` or tabs) |

mod columns;
mod each;
mod feed;
mod find;
mod form;
mod rows;
mod split;

use std::collections::VecDeque;
use std::io::BufRead;
use std::path::PathBuf;
use std::sync::Arc;

pub use columns::{Columns, Mapping};
pub use each::each;
pub use form::Form;

use crate::mistake::Problem;
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Node, Places};

use feed::Feed;

/// One enquiry, not looked into yet.
#[derive(Debug)]
pub struct Item {
    /// What its file is called.
    pub label: Arc<str>,
    /// The line it starts in, when it is a part of a file; 0 for a file as a whole.
    pub line: usize,
    /// Its text, or why there is none.
    pub text: Result<Source, Problem>,
    /// What its text is written in.
    pub written: Written,
}

/// What one enquiry is written in.
#[derive(Debug, Clone)]
pub enum Written {
    /// YAML.
    Yaml,
    /// JSON.
    Json,
    /// A row of a table, with the headers it stands under.
    Row(Arc<Columns>),
}

impl Item {
    /// The file, and the line where it is a part of one.
    #[must_use]
    pub fn place(&self) -> String {
        if self.line == 0 {
            self.label.to_string()
        } else {
            format!("{}:{}", self.label, self.line)
        }
    }

    /// The parts at the top of a JSON text that is too long to be a form; nothing of any other.
    #[must_use]
    pub fn keys(&self, source: &Source) -> Vec<String> {
        match self.written {
            Written::Json => crate::json::keys(&source.text),
            Written::Yaml | Written::Row(_) => Vec::new(),
        }
    }

    /// The tree of its text; `use_it` gets it with a way to look up places.
    ///
    /// # Errors
    /// All that can be told of a text that cannot be read.
    pub fn read<T>(
        &self,
        source: &Source,
        use_it: impl FnOnce(&Node<'_>, &dyn Fn() -> Places) -> T,
    ) -> Result<T, Vec<Problem>> {
        match &self.written {
            Written::Yaml => {
                let document = crate::yaml::read(source)?;
                Ok(use_it(&document.root, &|| document.places()))
            }
            Written::Json => {
                let root = crate::json::read(source)?;
                Ok(use_it(&root, &|| crate::json::places(&source.text)))
            }
            Written::Row(columns) => {
                let row = rows::read(source, columns)?;
                Ok(use_it(&row.root, &|| row.places()))
            }
        }
    }
}

/// Where enquiries come from.
pub enum Input {
    /// A file, or a folder with files at any depth.
    Path(PathBuf),
    /// A stream, with what it is called.
    Stream(String, Box<dyn BufRead + Send>),
}

/// All enquiries of some inputs, one after the other.
pub struct Inbox<'q> {
    questionnaire: &'q Questionnaire,
    mapping: Option<Mapping>,
    form: Option<Form>,
    waiting: VecDeque<Input>,
    open: Option<Feed>,
    faults: VecDeque<Item>,
    /// Files that are no enquiries by their ending, and were passed over.
    pub passed_over: Vec<String>,
}

impl<'q> Inbox<'q> {
    /// Enquiries of these inputs. `form` is what they are written in, where their names do not tell; `mapping` is for tables.
    #[must_use]
    pub fn new(
        questionnaire: &'q Questionnaire,
        inputs: Vec<Input>,
        form: Option<Form>,
        mapping: Option<Mapping>,
    ) -> Self {
        Self {
            questionnaire,
            mapping,
            form,
            waiting: inputs.into(),
            open: None,
            faults: VecDeque::new(),
            passed_over: Vec::new(),
        }
    }

    /// Opens the next input. A folder is replaced by what lies in it.
    fn open_next(&mut self) -> Option<()> {
        match self.waiting.pop_front()? {
            Input::Stream(label, reader) => self.open(Arc::from(label), reader, self.form),
            Input::Path(path) if path.is_dir() => {
                let found = find::in_folder(&path);
                self.faults.extend(found.faults);
                self.passed_over.extend(found.passed_over);
                for file in found.files.into_iter().rev() {
                    self.waiting.push_front(Input::Path(file));
                }
            }
            Input::Path(path) => {
                let label: Arc<str> = Arc::from(path.display().to_string());
                match std::fs::File::open(&path) {
                    Ok(file) => {
                        let form = self.form.or_else(|| Form::of_name(&path));
                        // Most files hold one form of a few kilobytes.
                        let reader = std::io::BufReader::with_capacity(16 << 10, file);
                        self.open(label, Box::new(reader), form);
                    }
                    Err(error) => self.faults.push_back(find::unreadable(label, &error)),
                }
            }
        }
        Some(())
    }

    fn open(&mut self, label: Arc<str>, reader: Box<dyn BufRead + Send>, form: Option<Form>) {
        match Feed::open(
            &label,
            reader,
            form,
            self.questionnaire,
            self.mapping.as_ref(),
        ) {
            Ok(feed) => self.open = Some(feed),
            Err(faults) => self.faults.extend(faults.into_iter().map(|problem| Item {
                label: Arc::clone(&label),
                line: problem.place.line,
                text: Err(problem),
                written: Written::Yaml,
            })),
        }
    }
}

impl Iterator for Inbox<'_> {
    type Item = Item;

    fn next(&mut self) -> Option<Item> {
        loop {
            if let Some(fault) = self.faults.pop_front() {
                return Some(fault);
            }
            if let Some(feed) = &mut self.open {
                if let Some(item) = feed.next() {
                    return Some(item);
                }
                self.open = None;
            }
            self.open_next()?;
        }
    }
}

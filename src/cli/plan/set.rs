//! The files of one run.

use std::io;
use std::path::Path;

use crate::papers::{Copy, Listed, PAPERS, Paper, drawings, index, listed, plan_json};
use crate::record::IssuedPaper;

use super::super::output::write_whole;
use super::{Format, Io, Spoken};

/// The files of one run: all made before any is written.
pub(super) struct PaperSet<'a> {
    formats: &'a [Format],
    in_folder: bool,
    listed: Vec<Listed>,
    /// Path below the folder, and text.
    pub(super) files: Vec<(String, String)>,
}

impl<'a> PaperSet<'a> {
    pub(super) fn new(formats: &'a [Format], in_folder: bool) -> Self {
        Self {
            formats,
            in_folder,
            listed: Vec::new(),
            files: Vec::new(),
        }
    }

    pub(super) fn add(
        &mut self,
        voice: &Spoken,
        name: &'static str,
        notice: Option<String>,
    ) -> io::Result<()> {
        let (engine, plan) = (&voice.engine, &voice.plan);
        let mut paper = voice.press.paper(engine, name).map_err(io::Error::other)?;
        paper.notice = notice;
        let singles = if self.in_folder {
            paper.single_cards()
        } else {
            Vec::new()
        };
        let papers: Vec<Paper> = std::iter::once(paper).chain(singles).collect();
        for paper in &papers {
            let folder = paper.copy.folder();
            for format in self.formats {
                let (end, text) = match format {
                    Format::Md => ("md", paper.markdown()),
                    Format::Html => ("html", paper.html(engine, plan).map_err(io::Error::other)?),
                    Format::Json => continue,
                };
                self.files
                    .push((format!("{folder}/{}.{end}", paper.name), text));
            }
        }
        self.listed
            .extend(listed(engine, plan, &papers).map_err(io::Error::other)?);
        Ok(())
    }

    /// The plan as JSON, the drawings, and the pages that lead to the papers.
    pub(super) fn finish(&mut self, professional: &Spoken, household: &Spoken) -> io::Result<()> {
        if self.formats.contains(&Format::Json) {
            let text = plan_json(&professional.plan);
            self.files.push(("professional/plan.json".to_owned(), text));
        }
        if !self.in_folder {
            return Ok(());
        }
        let drawn = drawings(&household.engine, &household.plan, true).map_err(io::Error::other)?;
        for drawing in drawn {
            self.files
                .push((format!("household/{}.svg", drawing.name), drawing.svg));
        }
        if self.formats.contains(&Format::Html) {
            let of_household: Vec<&Listed> = self
                .listed
                .iter()
                .filter(|paper| paper.copy == Copy::Household)
                .collect();
            let all: Vec<&Listed> = self.listed.iter().collect();
            let pages = [
                ("household/index.html", household, of_household, ""),
                ("index.html", professional, all, "folders"),
            ];
            for (path, voice, papers, folders) in pages {
                let page = index(&voice.engine, &voice.plan, &papers, !folders.is_empty())
                    .map_err(io::Error::other)?;
                if !papers.is_empty() {
                    self.files.push((path.to_owned(), page));
                }
            }
        }
        Ok(())
    }

    /// The files as the record of a signed plan lists them.
    pub(super) fn issued(&self) -> Vec<IssuedPaper> {
        let files = self.files.iter();
        files
            .map(|(name, text)| IssuedPaper::of(name, text))
            .collect()
    }

    /// An error where a folder stands in the way of a file.
    pub(super) fn room_for(&self, folder: &Path) -> io::Result<()> {
        for (name, _) in &self.files {
            let path = folder.join(name);
            if path.is_dir() {
                let message = format!("{}: a folder stands where the file goes", path.display());
                return Err(io::Error::new(io::ErrorKind::IsADirectory, message));
            }
        }
        Ok(())
    }

    /// Writes all files, once there is [room](Self::room_for) for them. After a whole set, papers of an earlier one are taken away:
    /// a step sheet that was left would speak against the plan.
    pub(super) fn write(&self, folder: &Path, whole_set: bool, io: &mut Io<'_>) -> io::Result<()> {
        for (name, text) in &self.files {
            let path = folder.join(name);
            write_whole(&path, text)?;
            writeln!(io.err, "wrote {}", path.display())?;
        }
        if whole_set {
            for copy in [Copy::Household, Copy::Professional] {
                self.take_away_old(folder, copy.folder(), io)?;
            }
        }
        Ok(())
    }

    fn take_away_old(&self, root: &Path, folder: &str, io: &mut Io<'_>) -> io::Result<()> {
        let Ok(entries) = std::fs::read_dir(root.join(folder)) else {
            return Ok(());
        };
        let mut old: Vec<String> = entries
            .flatten()
            .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()))
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .filter(|name| is_ours(name))
            .filter(|name| {
                let path = format!("{folder}/{name}");
                self.files.iter().all(|(written, _)| *written != path)
            })
            .collect();
        old.sort();
        for name in old {
            let path = root.join(folder).join(&name);
            std::fs::remove_file(&path)?;
            writeln!(io.err, "took away {}, of an earlier plan", path.display())?;
        }
        Ok(())
    }
}

/// True for the name of a file that this command writes.
fn is_ours(name: &str) -> bool {
    let Some((stem, end)) = name.rsplit_once('.') else {
        return false;
    };
    match end {
        "md" | "html" => {
            PAPERS.contains(&stem)
                || stem == "index"
                || stem.strip_prefix("card-").is_some_and(|letter| {
                    !letter.is_empty() && letter.bytes().all(|b| b.is_ascii_uppercase())
                })
        }
        "svg" => {
            ["room", "sign"].contains(&stem)
                || stem.starts_with("steps-person-")
                || stem.starts_with("card-")
        }
        "json" => stem == "plan",
        _ => false,
    }
}

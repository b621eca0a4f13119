//! One bench being worked on: its text, what was undone, and the last good drawing of it.

use crate::store::{self, Draft};
use crate::terminal::Trouble;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use tidewright_plan::program::{self, StageProgram};
use tidewright_plan::spills::{self, Spill};
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, advice, climate, judge, working};
use tidewright_report::calendar::{Day, calendar};
use tidewright_report::{Advice, Given, Meta, State, Width, program_page, workings_page};
use tidewright_rig::edit::{self, as_toml};
use tidewright_rig::parts::Library;
use tidewright_rig::{Finding, Rig, read};
use tidewright_sim::band::USUAL_RUNS;
use tidewright_sim::{Run, split};

/// Steps that can be undone.
const MOST_UNDO: usize = 200;

/// A bench being worked on.
pub(crate) struct Session {
    path: PathBuf,
    library: Arc<Library>,
    text: String,
    saved_text: String,
    undo: Vec<String>,
    redo: Vec<String>,
    revision: u64,
    good: Option<Good>,
    faults: Vec<Finding>,
    draft_trouble: Option<String>,
    /// What became of an earlier session's edits, told until the first change.
    remark: Option<String>,
    water: Arc<Mutex<Option<Water>>>,
}

/// The last day of water that was run for the page on air, with its bench: most edits there leave the water as it is.
struct Water {
    rig: Rig,
    day: Run,
}

/// The last text that read without a fault; crests left to advice are not set yet.
struct Good {
    rig: Rig,
    remarks: Vec<Finding>,
}

impl Session {
    /// Opens a bench; edits of an earlier session that were never saved are taken up again.
    pub(crate) fn open(path: PathBuf, file_text: String, library: Library) -> Self {
        let (draft, remark) = match store::draft(&path, &file_text) {
            Draft::None => (None, None),
            Draft::Fits(text) => {
                (Some(text), Some("Edits of an earlier session were taken up; Undo takes them back.".to_owned()))
            }
            Draft::Stale(aside) => (
                None,
                Some(format!(
                    "The file was changed since an earlier session; its unsaved edits lie in {}.",
                    aside.display()
                )),
            ),
        };
        let mut session = Self {
            undo: draft.iter().map(|_| file_text.clone()).collect(),
            text: draft.unwrap_or_else(|| file_text.clone()),
            remark,
            saved_text: file_text,
            path,
            library: Arc::new(library),
            redo: Vec::new(),
            revision: 0,
            good: None,
            faults: Vec::new(),
            draft_trouble: None,
            water: Arc::default(),
        };
        session.take_in();
        if session.good.is_none() && !session.undo.is_empty() {
            // A draft with a fault has no drawing yet: the file's own stands in.
            let draft = std::mem::replace(&mut session.text, session.saved_text.clone());
            session.take_in();
            session.text = draft;
            session.take_in();
        }
        session
    }

    /// Name for the terminal.
    pub(crate) fn title(&self) -> String {
        self.good.as_ref().map_or_else(|| self.path.display().to_string(), |g| g.rig.name.clone())
    }

    /// What became of an earlier session's edits.
    pub(crate) fn remark(&self) -> Option<&str> {
        self.remark.as_deref()
    }

    /// Faults that stand in the way of a drawing.
    pub(crate) fn faults(&self) -> &[Finding] {
        &self.faults
    }

    /// Whether a drawing can be shown at all.
    pub(crate) fn has_drawing(&self) -> bool {
        self.good.is_some()
    }

    fn take_in(&mut self) {
        let reading = read(&self.text, &self.library);
        match reading.rig {
            Some(rig) => {
                self.faults.clear();
                self.good = Some(Good { rig, remarks: reading.findings });
            }
            None => self.faults = reading.findings,
        }
    }

    fn change_to(&mut self, text: String) {
        self.text = text;
        self.remark = None;
        self.revision += 1;
        self.take_in();
        self.draft_trouble = if self.text == self.saved_text {
            store::drop_draft(&self.path);
            None
        } else {
            store::keep_draft(&self.path, &self.saved_text, &self.text).err().map(|t| t.0)
        };
    }

    /// Writes one value.
    ///
    /// # Errors
    /// Where the key or the value cannot stand in a bench file; nothing is changed.
    pub(crate) fn edit(&mut self, path: &str, typed: &str) -> Result<(), Trouble> {
        let text = edit::set(&self.text, path, &as_toml(typed)).map_err(|e| Trouble(e.to_string()))?;
        if text == self.text {
            return Ok(());
        }
        self.undo.push(self.text.clone());
        if self.undo.len() > MOST_UNDO {
            self.undo.remove(0);
        }
        self.redo.clear();
        self.change_to(text);
        Ok(())
    }

    /// The user's parts file beside the bench file.
    pub(super) fn parts_path(&self) -> PathBuf {
        self.path.with_file_name("parts.toml")
    }

    /// Adds parts to those at hand.
    ///
    /// # Errors
    /// Where they do not read; nothing is changed then.
    pub(super) fn add_parts(&mut self, file: &str, text: &str) -> Result<(), Trouble> {
        let mut library = Library::clone(&self.library);
        library.add(file, text).map_err(|f| Trouble(f.sentence))?;
        self.library = Arc::new(library);
        self.take_in();
        Ok(())
    }

    /// Takes the last change back.
    pub(crate) fn undo(&mut self) {
        if let Some(text) = self.undo.pop() {
            self.redo.push(self.text.clone());
            self.change_to(text);
        }
    }

    /// Makes an undone change again.
    pub(crate) fn redo(&mut self) {
        if let Some(text) = self.redo.pop() {
            self.undo.push(self.text.clone());
            self.change_to(text);
        }
    }

    /// Writes the text to the file.
    ///
    /// # Errors
    /// Where the disk refuses, or where the file was changed by another program since it was opened.
    pub(crate) fn save(&mut self) -> Result<(), Trouble> {
        if self.path.exists() {
            let on_disk = store::load(&self.path)?;
            if on_disk != self.saved_text.as_bytes() && on_disk != self.text.as_bytes() {
                store::keep_draft(&self.path, &self.saved_text, &self.text)?;
                return Err(Trouble(format!(
                    "{} was changed by another program since it was opened; your edits are kept in the draft beside it",
                    self.path.display()
                )));
            }
        }
        store::save(&self.path, &self.text)?;
        self.saved_text.clone_from(&self.text);
        store::drop_draft(&self.path);
        self.draft_trouble = None;
        Ok(())
    }

    /// What is needed to compute a state, so that the lock need not be held meanwhile.
    pub(crate) fn snapshot(&self, refined: bool) -> Option<Snapshot> {
        let good = self.good.as_ref()?;
        let mut faults = self.faults.clone();
        if let Some(t) = &self.draft_trouble {
            faults.push(Finding::new(tidewright_rig::Severity::Care, "unsaved-draft", "Edits are not kept", t.clone()));
        }
        let mut remarks = good.remarks.clone();
        remarks.extend(self.remark.iter().map(|r| {
            Finding::new(tidewright_rig::Severity::Note, "unsaved-draft", "Edits of an earlier session", r.clone())
        }));
        Some(Snapshot {
            rig: good.rig.clone(),
            library: Arc::clone(&self.library),
            remarks,
            faults,
            water: Arc::clone(&self.water),
            meta: Meta {
                file_name: self.path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned()),
                saved: self.text == self.saved_text,
                can_undo: !self.undo.is_empty(),
                can_redo: !self.redo.is_empty(),
                revision: self.revision,
                refined,
            },
        })
    }
}

/// One bench at one moment, ready to be computed.
pub(crate) struct Snapshot {
    rig: Rig,
    library: Arc<Library>,
    remarks: Vec<Finding>,
    faults: Vec<Finding>,
    water: Arc<Mutex<Option<Water>>>,
    meta: Meta,
}

impl Snapshot {
    /// The day of the water of this bench, its crests settled; kept from the last time where nothing of it has changed.
    pub(super) fn water(&self, rig: &Rig) -> Run {
        let kept = || self.water.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(w) = kept().as_ref().filter(|w| w.rig.runs_as(rig)) {
            return w.day.clone();
        }
        let day = climate::water(rig);
        *kept() = Some(Water { rig: rig.clone(), day: day.clone() });
        day
    }

    /// The bench.
    pub(super) fn rig(&self) -> &Rig {
        &self.rig
    }

    /// Shipped parts and the user's own.
    pub(super) fn library(&self) -> &Library {
        &self.library
    }

    /// Faults of the text as it stands.
    pub(super) fn faults(&self) -> &[Finding] {
        &self.faults
    }

    /// Whether the file holds all edits.
    pub(super) fn is_saved(&self) -> bool {
        self.meta.saved
    }

    /// How every number came about, as a page.
    pub(crate) fn workings(self) -> String {
        let survey = Survey::of(&advice::settle_crests(&self.rig).0, USUAL_RUNS);
        workings_page(&survey.rig.name, &working::all(&survey))
    }

    fn programs(&self, tray: usize) -> Result<(Rig, Vec<StageProgram>, String), Trouble> {
        let rig = advice::settle_crests(&self.rig).0;
        let stops = tidewright_report::roots::stops(&judge(&Survey::of(&rig, QUICK_RUNS)));
        let all = program::programs(&rig, tray, &|_| {});
        all.map(|p| (rig, p, stops))
            .ok_or_else(|| Trouble("there is no program for that tray: no blocks stand in it".into()))
    }

    /// The timer program of one tray as a page.
    pub(crate) fn program(self, tray: usize) -> Result<String, Trouble> {
        let (rig, programs, stops) = self.programs(tray)?;
        Ok(program_page(&rig, tray, &programs, &stops))
    }

    /// The same as a calendar file.
    pub(crate) fn calendar(self, tray: usize, first: Day) -> Result<String, Trouble> {
        let (rig, programs, stops) = self.programs(tray)?;
        if !stops.is_empty() {
            return Err(Trouble(format!("no calendar for a bench that does not flood as it should. {}", stops.trim())));
        }
        Ok(calendar(&rig, tray, &programs, first))
    }

    fn given<'a>(
        &'a self,
        survey: &'a Survey,
        findings: &'a [Finding],
        advice: &'a Advice,
        spills: &'a [Spill],
    ) -> Given<'a> {
        Given { survey, findings, faults: &self.faults, advice, spills, meta: &self.meta }
    }

    /// The whole page as data. Of a quick look `first` gets the part that the eye is on, as soon as it is known;
    /// once that returns false nobody waits for the rest.
    pub(crate) fn state(self, width: Width, first: impl FnOnce(State) -> bool) -> Option<State> {
        let rig = advice::settle_crests(&self.rig).0;
        let findings_of = |judged: Vec<Finding>| {
            let mut findings = self.remarks.clone();
            findings.extend(judged);
            findings.sort_by_key(|f| f.severity);
            findings
        };
        if self.meta.refined {
            let survey = Survey::with_crop(&rig, USUAL_RUNS);
            let (judged, (advice, spills)) = split::both(
                || judge(&survey),
                || (Advice::of(&survey).with_throttles(&survey), spills::spills(&survey.rig)),
            );
            return Some(tidewright_report::state(&self.given(&survey, &findings_of(judged), &advice, &spills)));
        }
        let survey = Survey::of(&rig, QUICK_RUNS);
        let (judged, lines) = split::both(|| judge(&survey), || Advice::lines(&survey));
        let findings = findings_of(judged);
        if !first(tidewright_report::first(&self.given(&survey, &findings, &lines, &[]), width)) {
            return None;
        }
        let (advice, spills) = split::both(|| lines.with_risers(&survey), || spills::spills(&survey.rig));
        Some(tidewright_report::state(&self.given(&survey, &findings, &advice, &spills)))
    }
}

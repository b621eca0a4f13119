//! The build book's source made into a PDF by a typesetting library, all in this process: nothing is fetched.

use crate::terminal::Trouble;
use tidewright_report::book::typeset::Typeset;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime};
use typst::layout::PagedDocument;
use typst::syntax::{FileId, Source, VirtualPath};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// What the library may see: one source, its drawings, the fonts that it brings itself.
struct Shelf {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: Source,
    files: Vec<(FileId, Bytes)>,
}

impl World for Shelf {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.iter().find(|f| f.0 == id).map(|f| f.1.clone()).ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<i64>) -> Option<Datetime> {
        None
    }
}

/// The PDF.
///
/// # Errors
/// Where the source does not compile: a fault of this program, told with the library's own words.
pub(crate) fn pdf(book: &Typeset) -> Result<Vec<u8>, Trouble> {
    let fonts: Vec<Font> = typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect();
    let id = |name: &str| FileId::new(None, VirtualPath::new(name));
    let shelf = Shelf {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
        main: Source::new(id("book.typ"), book.source.clone()),
        files: book.drawings.iter().map(|(name, text)| (id(name), Bytes::from_string(text.clone()))).collect(),
    };
    let told = |all: &[typst::diag::SourceDiagnostic]| {
        Trouble(format!(
            "the book does not typeset: {}",
            all.iter().map(|d| d.message.as_str()).collect::<Vec<_>>().join("; ")
        ))
    };
    let document = typst::compile::<PagedDocument>(&shelf).output.map_err(|e| told(&e))?;
    typst_pdf::pdf(&document, &typst_pdf::PdfOptions::default()).map_err(|e| told(&e))
}

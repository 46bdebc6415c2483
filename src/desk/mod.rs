//! The desk: the answers of other commands on a page of this machine, for people who use no terminal.
//!
//! - [`http`]: the server, and who may ask it;
//! - [`form`]: the fields that a page sends;
//! - [`pond`]: the room *pond*;
//! - [`catalog`]: the room *catalog*, with what if.
//!
//! It reads catalogs through what it is given for that, and writes nothing.

pub mod catalog;
pub mod form;
pub mod http;
pub mod pond;

use std::sync::{Arc, Mutex, PoisonError};

use crate::engine::{self, Input};
use crate::report::desk as shown;

use form::Form;
use http::{Answer, Request};

/// Reads the texts of the catalogs, or says why that fails.
pub type Reader = Box<dyn Fn() -> Result<Vec<Input>, String> + Send + Sync>;

/// What the desk has read.
struct Read {
    inputs: Vec<Input>,
    catalogs: Vec<crate::catalog::Catalog>,
}

/// The desk with its catalogs.
pub struct Desk {
    reader: Reader,
    read: Mutex<Arc<Read>>,
    /// The room *catalog* as it was last shown.
    audited: Mutex<Option<String>>,
}

impl Desk {
    /// A desk over what `reader` reads.
    ///
    /// # Errors
    /// Why it can't be read.
    pub fn new(reader: Reader) -> Result<Desk, String> {
        let read = read(&reader)?;
        Ok(Desk {
            reader,
            read: Mutex::new(Arc::new(read)),
            audited: Mutex::default(),
        })
    }

    /// How many packages there are.
    pub fn packages(&self) -> usize {
        let read = self.read();
        read.catalogs.iter().map(|one| one.packages.len()).sum()
    }

    fn read(&self) -> Arc<Read> {
        let read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        read.clone()
    }

    /// Answers a request.
    pub fn answer(&self, request: &Request) -> Answer {
        let form = || {
            Form::of(if request.posts {
                &request.body
            } else {
                request.query.as_bytes()
            })
        };
        match (request.path.as_str(), request.posts) {
            ("", false) => Answer::elsewhere("pond"),
            ("desk.css", false) => Answer::of("text/css; charset=utf-8", shown::STYLE.into()),
            ("desk.js", false) => {
                Answer::of("text/javascript; charset=utf-8", shown::SCRIPT.into())
            }
            ("pond", _) => pond::page(&self.read().catalogs, &form()),
            ("order.csv", true) => pond::order(&self.read().catalogs, &form()),
            ("catalog", false) => self.catalog(),
            ("whatif", false) => catalog::what_if(&self.read().catalogs, &form()),
            ("again", true) => match read(&self.reader) {
                Ok(read) => {
                    *self.read.lock().unwrap_or_else(PoisonError::into_inner) = Arc::new(read);
                    *self.audited.lock().unwrap_or_else(PoisonError::into_inner) = None;
                    Answer::elsewhere("catalog")
                }
                Err(why) => Answer::refusal(503, &why),
            },
            _ => Answer::refusal(404, "there is no such room"),
        }
    }

    fn catalog(&self) -> Answer {
        let mut audited = self.audited.lock().unwrap_or_else(PoisonError::into_inner);
        let page = audited.get_or_insert_with(|| {
            let read = self.read();
            catalog::page(&read.inputs, &read.catalogs)
        });
        Answer::page(page.clone())
    }
}

fn read(reader: &Reader) -> Result<Read, String> {
    let inputs = reader()?;
    let catalogs = engine::read(inputs.clone()).catalogs;
    if catalogs.is_empty() {
        return Err("there is no catalog".into());
    }
    Ok(Read { inputs, catalogs })
}

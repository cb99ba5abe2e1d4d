//! What the page needs of whoever serves it: here one record that this page alone has, and
//! files in memory.

use std::cell::RefCell;
use std::io::Write;
use std::sync::Arc;

use data_encoding::HEXLOWER;
use hosewright_core::Logbook;
use hosewright_page::{Host, Made, Refusal, Upload, Waiting, Watching};
use rand::TryRng;
use rand::rngs::SysRng;

/// The most of a kind that wait for a yes; the oldest goes.
const WAITING: usize = 8;

/// Random bytes of the system as text.
pub fn random_text<const N: usize>() -> Result<String, Refusal> {
    let mut bytes = [0; N];
    let filled = SysRng.try_fill_bytes(&mut bytes);
    filled.map_err(|e| Refusal::Broken(format!("the system gives no random bits: {e}")))?;
    Ok(HEXLOWER.encode(&bytes))
}

/// A file that waits for a yes.
type Held = (Waiting, String, Arc<dyn Upload>);

/// Files that wait for a yes, each under a key that only its sender knows.
#[derive(Default)]
pub struct WaitingFiles(RefCell<Vec<Held>>);

/// The record, for one request.
pub struct Pocket<'p> {
    /// The record that it is about.
    pub record: &'p RefCell<Logbook>,
    /// What waits for a yes.
    pub waiting: &'p WaitingFiles,
    /// The film that is watched.
    pub watching: &'p RefCell<Watching>,
    /// Makes the demonstration.
    pub demo: &'p dyn Fn() -> Result<(), Refusal>,
}

fn busy<E>(_: E) -> Refusal {
    Refusal::failed()
}

impl Host for Pocket<'_> {
    fn read(&self, work: &mut dyn FnMut(&Logbook)) -> Result<(), Refusal> {
        work(&*self.record.try_borrow().map_err(busy)?);
        Ok(())
    }

    fn write(&self, work: &mut dyn FnMut(&mut Logbook)) -> Result<(), Refusal> {
        work(&mut *self.record.try_borrow_mut().map_err(busy)?);
        Ok(())
    }

    fn make(
        &self,
        write: &mut dyn FnMut(&mut dyn Write) -> Result<(), Refusal>,
    ) -> Result<Made, Refusal> {
        let mut bytes = Vec::new();
        write(&mut bytes)?;
        Ok(Made(Box::new(bytes)))
    }

    fn keep(&self, what: Waiting, file: Arc<dyn Upload>) -> Result<String, Refusal> {
        let key = random_text::<16>()?;
        let mut all = self.waiting.0.try_borrow_mut().map_err(busy)?;
        let over = (all.len() + 1).saturating_sub(WAITING);
        all.drain(..over);
        all.push((what, key.clone(), file));
        Ok(key)
    }

    fn kept(&self, what: Waiting, key: &str) -> Result<Arc<dyn Upload>, Refusal> {
        let all = self.waiting.0.try_borrow().map_err(busy)?;
        let found = all.iter().find(|(kind, known, _)| *kind == what && known == key);
        let found = found.map(|(_, _, file)| file.clone());
        found.ok_or_else(|| Refusal::bad("this file is not here any more; send it again"))
    }

    fn done(&self, what: Waiting, key: &str) {
        if let Ok(mut all) = self.waiting.0.try_borrow_mut() {
            all.retain(|(kind, known, _)| *kind != what || known != key);
        }
    }

    fn watching(&self, work: &mut dyn FnMut(&mut Watching)) -> Result<(), Refusal> {
        work(&mut *self.watching.try_borrow_mut().map_err(busy)?);
        Ok(())
    }

    fn make_demo(&self) -> Result<(), Refusal> {
        (self.demo)()
    }

    fn serves(&self) -> bool {
        false
    }

    fn sign_in(&self, _: &str) -> Result<Option<String>, Refusal> {
        Ok(None)
    }

    fn calendar(&self) -> Result<Vec<String>, Refusal> {
        Ok(Vec::new())
    }

    fn is_calendar(&self, _: &str) -> Result<bool, Refusal> {
        Ok(false)
    }

    fn set_calendar(&self, _: bool) -> Result<(), Refusal> {
        Err(Refusal::NoPage)
    }

    fn sign_out(&self) {}
}

//! Meeting by sight: a bundle as a film that another device's camera reads. What it has seen
//! to the end comes in as any bundle does: [`Viewer::bundle`](crate::journal::Viewer::bundle).

use chrono::NaiveDate;

use super::super::{Logbook, LogbookError};
use crate::journal::{
    self, Film, FilmSize, Header, StoreError, Watch, half_films, keep_half_films, write_header,
};

impl Logbook {
    /// A film of all that is here, less what the maker of an earlier bundle or film had; and how
    /// many entries that is. `progress` is told how many are written.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read, or it is too much for a film.
    pub fn film(
        &self,
        since: Option<&Header>,
        size: FilmSize,
        today: NaiveDate,
        progress: impl FnMut(u64),
    ) -> Result<(Film, u64), LogbookError> {
        let mut bytes = Vec::new();
        let entries = self.bundle(&mut bytes, since, today, progress)?;
        Ok((Film::new(&bytes, size)?, entries))
    }

    /// A film that says what is here and has none of it: nearly always one symbol, for another
    /// device that is to film the rest only.
    ///
    /// # Errors
    /// As [`Logbook::film`].
    pub fn film_of_holdings(&self, size: FilmSize, today: NaiveDate) -> Result<Film, LogbookError> {
        let mut bytes = Vec::new();
        write_header::<LogbookError>(&self.connection, today, &mut bytes)?;
        Ok(Film::new(&bytes, size)?)
    }

    /// A watch that goes on with the films that were left half seen here.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn watch(&self) -> Result<Watch, LogbookError> {
        Ok(Watch::new(&half_films(&self.connection)?))
    }

    /// Keeps what a watch has half seen, to go on with by [`Logbook::watch`]. It is kept on this
    /// device and is no part of the record.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be written.
    pub fn keep_watch(&mut self, watch: &mut Watch) -> Result<(), LogbookError> {
        self.check_writable()?;
        let work = journal::begin(&mut self.connection)?;
        keep_half_films(&work, &watch.kept())?;
        Ok(work.commit().map_err(StoreError::from)?)
    }
}

//! A posted form of ours with photos of places on a hose.

use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request};
use hosewright_core::LogbookError;
use hosewright_core::inspection::Place;
use hosewright_core::photograph::Photograph;

use super::ask::{Ask, Posted, broken_off, in_time, says};
use super::fields::Fields;
use super::refusal::Refusal;

/// The most bytes of a form with its photos: one of each place, as phones take them.
const MOST: usize = 48 * 1024 * 1024;
const MOST_IN_WORDS: &str = "48 MB";

/// The name of the field for a photo of a place.
pub fn named(place: Place) -> String {
    format!("photo-{place}")
}

/// A form with photos, not yet read.
pub struct Pictured {
    /// The request.
    pub ask: Ask,
    /// What was typed.
    pub fields: Fields,
    photos: Vec<(Place, Bytes)>,
}

impl<S: Send + Sync> FromRequest<S> for Pictured {
    type Rejection = Refusal;

    async fn from_request(mut request: Request, state: &S) -> Result<Self, Refusal> {
        if !says(request.headers(), "multipart/form-data") {
            // A form without files.
            let Posted { ask, fields } = Posted::from_request(request, state).await?;
            return Ok(Self { ask, fields, photos: Vec::new() });
        }
        let ask = request.extensions().get::<Ask>().cloned();
        let ask = ask.ok_or_else(|| Refusal::Broken("a request came past the guard".to_owned()))?;
        DefaultBodyLimit::max(MOST).apply(&mut request);
        let parts = Multipart::from_request(request, state).await;
        let parts = parts.map_err(|_| Refusal::Foreign)?;
        let (fields, photos) = in_time(&ask, taken(&ask, parts)).await?;
        ask.checked(&fields)?;
        Ok(Self { ask, fields, photos })
    }
}

impl Pictured {
    /// The photos as the record keeps them; reading them takes a whole
    /// processor, so few forms' are read at once.
    pub async fn photographs(&mut self) -> Result<Vec<(Place, Photograph)>, Refusal> {
        let photos = std::mem::take(&mut self.photos);
        if photos.is_empty() {
            return Ok(Vec::new());
        }
        let _turn = self.ask.turn(&self.ask.house.pictures).await?;
        let made = |(place, bytes): (Place, Bytes)| {
            let made = Photograph::make(&bytes).map_err(LogbookError::from)?;
            Ok((place, made))
        };
        self.ask.apart(move || photos.into_iter().map(made).collect()).await
    }
}

async fn taken(ask: &Ask, mut parts: Multipart) -> Result<(Fields, Vec<(Place, Bytes)>), Refusal> {
    let _room = ask.turn(&ask.house.files).await?;
    let (mut pairs, mut photos) = (Vec::new(), Vec::new());
    while let Some(part) = parts.next_field().await.map_err(|e| broken_off(&e, MOST_IN_WORDS))? {
        let name = part.name().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.map_err(|e| broken_off(&e, MOST_IN_WORDS))?;
        let place = Place::ALL.iter().find(|place| named(**place) == name);
        match place {
            // A field for a file that was not chosen comes empty.
            Some(_) if bytes.is_empty() => {}
            Some(place) if photos.len() < Place::ALL.len() => photos.push((*place, bytes)),
            None if pairs.len() < 200 && bytes.len() <= 1000 => {
                pairs.push((name, String::from_utf8_lossy(&bytes).into_owned()));
            }
            _ => return Err(Refusal::bad("the form is not one of this page")),
        }
    }
    Ok((Fields::of(pairs), photos))
}

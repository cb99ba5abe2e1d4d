//! Heads and words of lists in German, French, Spanish and Italian, as `fold` leaves them:
//! small letters without accents. Common practice, no source.

use super::column::Column;
use crate::hose::{Construction, Service};

/// The spellings of heads, language by language.
pub(super) const HEADS: [&[(Column, &[&str])]; 4] = [GERMAN, FRENCH, SPANISH, ITALIAN];

#[rustfmt::skip]
const GERMAN: &[(Column, &[&str])] = &[
    (Column::Service, &["typ", "art", "schlauchtyp", "schlauchart", "funktion", "zweck", "einsatz"]),
    (Column::Use, &["verwendung", "nutzung"]),
    (Column::Construction, &["ausfuhrung", "bauart", "werkstoff", "aufbau", "mantel"]),
    (Column::Length, &["lange", "schlauchlange", "grosse"]),
    (Column::EndA, &["erste stufe", "1 stufe", "anschluss erste stufe", "anschluss 1 stufe",
        "gewinde erste stufe", "gewinde 1 stufe", "gewinde", "gewinde a", "anschluss a", "ende a"]),
    (Column::EndB, &["zweite stufe", "2 stufe", "anschluss zweite stufe", "anschluss 2 stufe",
        "gewinde zweite stufe", "gewinde 2 stufe", "gewinde b", "anschluss b", "ende b", "anderes ende"]),
    (Column::Made, &["hergestellt", "hergestellt am", "herstelldatum", "herstellungsdatum",
        "produktionsdatum", "baujahr", "herstelljahr", "herstellungsjahr", "produziert"]),
    (Column::Bought, &["gekauft", "gekauft am", "kaufdatum", "angeschafft", "angeschafft am",
        "anschaffung", "anschaffungsdatum"]),
    (Column::InService, &["in betrieb seit", "in gebrauch seit", "im einsatz seit",
        "inbetriebnahme", "datum der inbetriebnahme", "seit", "montiert am", "erster einsatz"]),
    (Column::Maker, &["hersteller", "marke", "fabrikat"]),
    (Column::Lot, &["charge", "chargennummer", "chargen nr", "charge nr", "los", "losnummer"]),
    (Column::Model, &["modell", "modellnummer", "modellbezeichnung"]),
    (Column::Oxygen, &["sauerstoff", "sauerstoffrein", "o2 rein", "sauerstofftauglich"]),
    (Column::Note, &["notiz", "notizen", "bemerkung", "bemerkungen", "anmerkung", "anmerkungen",
        "kommentar", "hinweis"]),
    (Column::Branch, &["filiale", "standort", "niederlassung", "zweigstelle"]),
    (Column::Ticket, &["auftrag", "auftragsnummer", "auftrags nr", "auftrag nr", "kundenauftrag",
        "ticketnummer"]),
    (Column::Protector, &["knickschutz", "schlauchschutz"]),
    (Column::Number, &["nummer", "schlauchnummer", "schlauch nr", "inventarnummer", "inventar nr",
        "seriennummer", "serien nr", "lfd nr", "eigene nummer"]),
    (Column::Quantity, &["anzahl", "menge", "stuck", "stuckzahl"]),
    (Column::Set, &["automat", "atemregler", "regler", "garnitur", "satz"]),
    (Column::Port, &["abgang"]),
    (Column::FullOn, &["vollprufung", "letzte vollprufung", "volle prufung", "letzte volle prufung",
        "vollinspektion", "letzte vollinspektion", "vollprufung am"]),
    (Column::FullBy, &["vollprufung durch", "vollprufung von", "vollinspektion durch",
        "vollinspektion von"]),
    (Column::LeakOn, &["dichtheitsprufung", "letzte dichtheitsprufung", "dichtigkeitsprufung",
        "letzte dichtigkeitsprufung", "dichtheitstest", "letzter dichtheitstest", "dichtigkeitstest",
        "letzter dichtigkeitstest"]),
    (Column::LeakPressure, &["druck dichtheitsprufung", "druck der dichtheitsprufung",
        "druck dichtigkeitsprufung", "druck dichtheitstest"]),
    (Column::Dives, &["tauchgange", "anzahl tauchgange", "zahl der tauchgange"]),
];

#[rustfmt::skip]
const FRENCH: &[(Column, &[&str])] = &[
    (Column::Service, &["fonction", "type de flexible", "type de tuyau"]),
    (Column::Use, &["utilisation"]),
    (Column::Construction, &["materiau", "matiere", "gaine"]),
    (Column::Length, &["longueur", "taille"]),
    (Column::EndA, &["premier etage", "1er etage", "cote premier etage", "filetage",
        "filetage premier etage", "filetage 1er etage", "raccord premier etage",
        "raccord 1er etage", "embout a"]),
    (Column::EndB, &["deuxieme etage", "second etage", "2e etage", "2eme etage",
        "cote deuxieme etage", "filetage deuxieme etage", "filetage 2e etage",
        "raccord deuxieme etage", "raccord 2e etage", "embout b"]),
    (Column::Made, &["fabrique", "fabrique le", "date de fabrication", "fabrication",
        "annee de fabrication"]),
    (Column::Bought, &["achete", "achete le", "date d achat", "achat"]),
    (Column::InService, &["en service depuis", "en service", "mise en service",
        "date de mise en service", "depuis"]),
    (Column::Maker, &["fabricant", "marque"]),
    (Column::Lot, &["numero de lot", "n de lot", "no de lot"]),
    (Column::Model, &["modele"]),
    (Column::Oxygen, &["oxygene", "propre oxygene", "nettoye pour oxygene",
        "nettoye pour l oxygene"]),
    (Column::Note, &["remarque", "remarques", "commentaire", "commentaires", "observation",
        "observations"]),
    (Column::Branch, &["succursale", "agence"]),
    (Column::Ticket, &["numero de bon", "bon de travail"]),
    (Column::Protector, &["protection", "protege flexible", "protecteur"]),
    (Column::Number, &["numero", "n", "numero de flexible", "numero de serie",
        "numero d inventaire", "identifiant"]),
    (Column::Quantity, &["quantite", "qte", "nombre"]),
    (Column::Set, &["ensemble", "detendeur", "detendeur complet", "jeu"]),
    (Column::Port, &["sortie"]),
    (Column::FullOn, &["inspection complete", "derniere inspection complete", "controle complet",
        "dernier controle complet"]),
    (Column::FullBy, &["inspection complete par", "controle complet par"]),
    (Column::LeakOn, &["test d etancheite", "dernier test d etancheite", "essai d etancheite",
        "dernier essai d etancheite"]),
    (Column::LeakPressure, &["pression du test d etancheite", "pression de l essai d etancheite"]),
    (Column::Dives, &["plongees", "nombre de plongees", "nb de plongees", "nb plongees"]),
];

#[rustfmt::skip]
const SPANISH: &[(Column, &[&str])] = &[
    (Column::Service, &["tipo", "funcion", "tipo de latiguillo", "tipo de manguera"]),
    (Column::Use, &["uso"]),
    (Column::Construction, &["construccion", "cubierta"]),
    (Column::Length, &["longitud", "largo", "medida"]),
    (Column::EndA, &["primera etapa", "1a etapa", "1 etapa", "rosca", "rosca primera etapa",
        "rosca 1a etapa", "extremo a"]),
    (Column::EndB, &["segunda etapa", "2a etapa", "2 etapa", "rosca segunda etapa",
        "rosca 2a etapa", "extremo b", "otro extremo"]),
    (Column::Made, &["fabricado", "fabricado en", "fecha de fabricacion", "fabricacion",
        "ano de fabricacion"]),
    (Column::Bought, &["comprado", "comprado en", "fecha de compra", "compra"]),
    (Column::InService, &["en servicio desde", "en servicio", "en uso desde", "puesta en servicio",
        "fecha de puesta en servicio", "desde"]),
    (Column::Maker, &["fabricante", "marca"]),
    (Column::Lot, &["lote", "numero de lote", "n de lote", "no de lote"]),
    (Column::Model, &["modelo"]),
    (Column::Oxygen, &["oxigeno", "limpio para oxigeno"]),
    (Column::Note, &["nota", "notas", "observacion", "observaciones", "comentario", "comentarios"]),
    (Column::Branch, &["sucursal", "sede"]),
    (Column::Ticket, &["orden de trabajo", "numero de orden"]),
    (Column::Protector, &["protectores"]),
    (Column::Number, &["num", "numero de inventario", "identificador"]),
    (Column::Quantity, &["cantidad", "cant", "unidades"]),
    (Column::Set, &["conjunto", "regulador", "equipo", "juego"]),
    (Column::Port, &["puerto", "salida"]),
    (Column::FullOn, &["inspeccion completa", "ultima inspeccion completa", "revision completa",
        "ultima revision completa"]),
    (Column::FullBy, &["inspeccion completa por", "revision completa por"]),
    (Column::LeakOn, &["prueba de fugas", "ultima prueba de fugas", "prueba de estanqueidad",
        "ultima prueba de estanqueidad"]),
    (Column::LeakPressure, &["presion de la prueba de fugas", "presion prueba de fugas",
        "presion de la prueba de estanqueidad"]),
    (Column::Dives, &["inmersiones", "numero de inmersiones", "buceos"]),
];

#[rustfmt::skip]
const ITALIAN: &[(Column, &[&str])] = &[
    (Column::Service, &["funzione", "tipo di frusta", "tipo di tubo"]),
    (Column::Use, &["utilizzo"]),
    (Column::Construction, &["materiale", "costruzione", "rivestimento"]),
    (Column::Length, &["lunghezza", "misura"]),
    (Column::EndA, &["primo stadio", "1 stadio", "1o stadio", "filetto", "filettatura",
        "filetto primo stadio", "attacco primo stadio", "estremita a"]),
    (Column::EndB, &["secondo stadio", "2 stadio", "2o stadio", "filetto secondo stadio",
        "attacco secondo stadio", "estremita b"]),
    (Column::Made, &["prodotto", "prodotto il", "fabbricato", "fabbricato il",
        "data di produzione", "data di fabbricazione", "anno di produzione", "fabbricazione"]),
    (Column::Bought, &["acquistato", "acquistato il", "data di acquisto", "data d acquisto",
        "acquisto"]),
    (Column::InService, &["in servizio", "in servizio dal", "in uso dal", "messa in servizio",
        "data di messa in servizio", "dal"]),
    (Column::Maker, &["produttore", "fabbricante", "costruttore"]),
    (Column::Lot, &["lotto", "numero di lotto", "n lotto", "n di lotto"]),
    (Column::Model, &["modello"]),
    (Column::Oxygen, &["ossigeno", "pulito per ossigeno"]),
    (Column::Note, &["osservazione", "osservazioni", "commento", "commenti"]),
    (Column::Ticket, &["ordine di lavoro", "numero ordine"]),
    (Column::Protector, &["protettore", "protezione"]),
    (Column::Number, &["numero di serie", "numero di inventario", "matricola"]),
    (Column::Quantity, &["quantita", "qta", "pezzi"]),
    (Column::Set, &["erogatore", "gruppo", "insieme"]),
    (Column::Port, &["uscita", "porta"]),
    (Column::FullOn, &["ispezione completa", "ultima ispezione completa", "controllo completo",
        "ultimo controllo completo"]),
    (Column::FullBy, &["ispezione completa di", "ispezione completa da", "controllo completo di",
        "controllo completo da"]),
    (Column::LeakOn, &["prova di tenuta", "ultima prova di tenuta", "test di tenuta",
        "ultimo test di tenuta"]),
    (Column::LeakPressure, &["pressione prova di tenuta", "pressione della prova di tenuta"]),
    (Column::Dives, &["immersioni", "numero di immersioni"]),
];

/// Words for services.
#[rustfmt::skip]
pub(super) const SERVICES: &[(Service, &[&str])] = &[
    (Service::SecondStage, &[
        "zweite stufe", "2 stufe", "oktopus", "hauptregler", "hauptautomat", "lungenautomat",
        "deuxieme etage", "second etage", "2e etage", "2eme etage", "detendeur principal",
        "segunda etapa", "2a etapa", "2 etapa", "principal",
        "secondo stadio", "2 stadio", "2o stadio", "erogatore",
    ]),
    (Service::Inflator, &[
        "inflatorschlauch", "tarierweste", "trockentauchanzug", "trockenanzug",
        "inflateur", "gilet", "gilet stabilisateur", "direct system", "combinaison etanche",
        "inflador", "hinchador", "chaleco", "traje seco",
        "gonfiatore", "gav", "frusta gav", "muta stagna",
    ]),
    (Service::Gauge, &[
        "finimeter", "manometer", "konsole", "hochdruck", "hochdruckschlauch", "hd",
        "manometre", "haute pression",
        "manometro", "consola", "alta presion",
        "alta pressione", "consolle",
    ]),
];

/// Words for a low-pressure hose of either kind.
pub(super) const LOW_PRESSURE: [&str; 10] = [
    "mitteldruck",
    "niederdruck",
    "md",
    "basse pression",
    "moyenne pression",
    "baja presion",
    "media presion",
    "bassa pressione",
    "media pressione",
    "mp",
];

/// Words for a construction.
pub(super) const CONSTRUCTIONS: &[(Construction, &[&str])] = &[
    (Construction::Rubber, &["gummi", "kautschuk", "caoutchouc", "goma", "caucho", "gomma"]),
    (
        Construction::Braided,
        &[
            "geflecht",
            "geflochten",
            "gewebe",
            "tresse",
            "tressee",
            "trenzado",
            "trenzada",
            "intrecciato",
            "intrecciata",
            "treccia",
        ],
    ),
];

/// Yes.
pub(super) const YES: [&str; 5] = ["ja", "j", "oui", "si", "vrai"];
/// No.
pub(super) const NO: [&str; 4] = ["nein", "non", "falsch", "faux"];

/// Where hoses lie that are in no set.
pub(super) const STOCK: [&str; 10] = [
    "lager",
    "ersatz",
    "reserve",
    "en stock",
    "almacen",
    "repuesto",
    "reserva",
    "magazzino",
    "scorta",
    "ricambio",
];

/// What people write where they have nothing to write.
pub(super) const BLANK: [&str; 8] = [
    "unbekannt",
    "keine",
    "inconnu",
    "inconnue",
    "desconocido",
    "desconocida",
    "sconosciuto",
    "sconosciuta",
];

/// The months, as they are written out and as they are cut short.
pub(super) const MONTHS: [&[&str]; 12] = [
    &["januar", "janvier", "janv", "enero", "ene", "gennaio", "gen"],
    &["februar", "fevrier", "fevr", "fev", "febrero", "febbraio"],
    &["marz", "mars", "marzo"],
    &["avril", "avr", "abril", "abr", "aprile"],
    &["mai", "mayo", "maggio", "mag"],
    &["juni", "juin", "junio", "giugno", "giu"],
    &["juli", "juillet", "juil", "julio", "luglio", "lug"],
    &["aout", "agosto", "ago"],
    &["septembre", "septiembre", "settembre"],
    &["oktober", "okt", "octobre", "octubre", "ottobre", "ott"],
    &["novembre", "noviembre"],
    &["dezember", "dez", "decembre", "diciembre", "dic", "dicembre"],
];

//! Words that tell of whom a stretch of text speaks, how sure its writer is, how long a machine runs, and what a
//! pressure is the limit of: one row for each meaning and reach, with its words by language.

use std::ops::Range;
use std::sync::LazyLock;

use super::claim::Comparator;
use super::holding;
use super::phrases::{Phrases, says};
use super::unit_words;
use super::vocabulary::{self, Topic};
use super::word::{Word, WordMap, stretches, words};

/// What words tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    /// It isn't so, or isn't to be done.
    Negated,
    /// Somebody else's thing for sale.
    Rival,
    /// Another thing of the same seller.
    Other,
    /// The reader's or a customer's own water.
    Customer,
    /// Work that was done somewhere.
    Story,
    /// What was sold or said before.
    Former,
    /// What is wished, planned or imagined.
    Wish,
    /// What somebody is quoted with.
    Quoted,
    /// What a single part may bear.
    Part,
    /// What is supposed: the words of a condition.
    Supposed,
    /// What explains words or units, and offers nothing.
    Explained,
    /// What heads a part of any page, and names no thing.
    Section,
    /// What heads a column of conditions.
    Conditions,
    /// By how much something is more or less than something else.
    Difference,
    /// Money that is asked for something else: carriage, a deposit, work, what isn't included, a sum.
    Fee,
    /// A thing of every day that figures are compared with.
    Everyday,
    /// So much for each length: what a rule of thumb reckons with.
    Rate,
    /// It isn't part of what is sold.
    Absent,
    /// Asks whether there is such a thing.
    Offered,
    /// An answer that denies.
    No,
    /// A water, and the word before the place that it lies at.
    Elsewhere,
    /// What begins a worked example.
    Example,
    /// What begins the name of a part or of work, which are sold beside the thing.
    Spare,
    /// What heads a list of such.
    Spares,
    /// Somebody is to ask first.
    Ask,
    /// A verb is denied.
    Denied,
    /// There is none, or nothing.
    None,
    /// What begins a question or a relative clause: what it doesn't do.
    What,
    /// What heads the words of customers.
    Voices,
    /// What heads remarks.
    Remarks,
    /// Somebody speaks of himself, of what was, or of what might be: it may be meant, and may not.
    Hedged,
    /// What follows is set against what stood before.
    Contrast,
    /// A pressure is a limit.
    Limit,
    /// A gauge.
    Gauge,
    /// A gauge shows, or is to show.
    Shows,
    /// What stands beside it is inside the price.
    With,
    /// What the thing is sold for.
    Price,
    /// It runs all day.
    AllDay,
    /// An hour, after a number.
    Hour,
    /// Minutes of each hour, after a number.
    Minutes,
    /// A day or a night, of which hours are counted.
    Daily,
    /// What running costs.
    Costs,
    /// A thing serves, or a water is served.
    Serves,
    /// Something is or has as much.
    Is,
    /// Deep, after a figure.
    Deep,
    /// It isn't so, isn't needed or isn't allowed.
    Not,
    /// A thing is left out, so that not to do so is to have it.
    Without,
    /// What is said holds only where a thing is missing.
    Unless,
    /// What cuts off mains beside water.
    Device,
    /// Who connects mains, and by which rules.
    Person,
    /// Ice.
    Ice,
    /// What ice threatens, and that it is kept off.
    Peril,
    /// Going onto ice.
    Tread,
    /// Nothing can happen.
    Safe,
    /// The cold season.
    Winter,
    /// It is to run a short time at first, and longer from day to day.
    Staged,
    /// Little by little.
    Slowly,
    /// Hours, minutes or days.
    Time,
    /// What is hot to touch.
    Burns,
    /// What heads a column of names.
    Names,
    /// What begins to say of which water something holds.
    Where,
    /// How much water there has to be.
    Least,
    /// Less water than this, or more.
    Shallow,
    /// What the page itself is about, beside other things.
    This,
    /// What a buyer asks for.
    Wanted,
    /// Who has written the post below.
    Wrote,
    /// Somebody who sells.
    Vendor,
    /// An outside diameter.
    Outside,
    /// What carries a current, and isn't the machine.
    Carries,
    /// It isn't to be so.
    Barred,
}

/// How far words speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reach {
    /// For the figures behind them, to the next contrast or the end of the sentence.
    Ahead,
    /// For the figures behind them, to the next comma.
    Clause,
    /// For the figure right behind them.
    Next,
    /// For the figure right before them.
    Last,
    /// The same, with no word between.
    Beside,
    /// For the whole sentence.
    Sentence,
}

struct Row {
    tag: Tag,
    reach: Reach,
    /// By language: en, de, fr, nl, es, da, it.
    words: [&'static [&'static str]; 7],
}

// Words of a language stand beside each other, and not one a line.
#[rustfmt::skip]
static ROWS: &[Row] = &[
    Row {
        tag: Tag::Negated,
        reach: Reach::Ahead,
        words: [
            &[
                "does not", "doesn't", "doesn’t", "do not", "don't", "don’t", "did not", "didn't", "cannot",
                "can't", "can’t", "can not", "will not", "won't", "won’t", "is not", "isn't", "isn’t", "are not",
                "aren't", "not for", "not meant", "not made", "not suited", "not suitable", "unsuitable",
                "not intended", "never", "neither", "nor", "nobody", "not even", "no good", "you'd not",
                "not recommended", "no promise",
            ],
            &[
                "nicht geeignet", "ungeeignet", "kommt nicht", "reicht nicht", "schafft nicht", "schafft er nicht",
                "niemals", "weder", "noch nie", "kann nicht", "ist nicht",
            ],
            &[
                "ne convient pas", "ne peut pas", "ne donne", "ne va pas", "jamais", "n'est pas", "n’est pas",
                "déconseillé",
            ],
            &["niet geschikt", "ongeschikt", "kan niet", "nooit", "is niet"],
            &["no sirve", "no es", "no llega", "no puede", "nunca", "no apto", "no conviene"],
            &["er ikke", "kan ikke", "aldrig", "egner sig ikke", "ikke egnet"],
            &["non è", "non arriva", "non può", "mai", "non adatta", "non adatto", "non serve"],
        ],
    },
    Row {
        tag: Tag::Negated,
        reach: Reach::Last,
        words: [
            &[
                "is too deep", "are too deep", "is too large", "is too much", "is too big", "is beyond it",
                "is the wrong", "are the wrong", "the motor stalls", "isn't possible", "is not possible", "is out of reach", "it delivers nothing",
            ],
            &[
                "ist zu tief", "nicht geeignet", "sind zu tief", "schafft sie nie", "schafft sie nicht",
                "schafft er nie", "kommt die", "ist schluss", "geht nicht", "ist hier falsch", "ist die falsche", "nicht",
            ],
            &["elle ne", "il ne", "est trop", "est le mauvais"],
            &["haalt hij niet", "is te diep", "lukt niet", "niet"],
            &["no llega", "no alcanza", "es demasiado"],
            &["når den ikke", "ikke"],
            &["non arriva", "è troppo"],
        ],
    },
    Row {
        tag: Tag::Negated,
        reach: Reach::Next,
        words: [
            &["not", "instead of", "rather than", "beyond", "past"],
            &["statt", "anstatt", "keine", "kein", "jenseits von"],
            &["pas", "au lieu de", "au-delà de"],
            &["geen", "in plaats van", "voorbij"],
            &["en vez de", "más allá de"],
            &["i stedet for"],
            &["invece di"],
        ],
    },
    // That it isn't enough for what the sentence names, wherever that stands.
    Row {
        tag: Tag::Negated,
        reach: Reach::Sentence,
        words: [
            &["is too weak for", "are too weak for", "is not enough for", "isn't enough for"],
            &[
                "reicht sie nicht", "reicht er nicht", "reicht es nicht", "reicht der druck nicht",
                "reicht die luft nicht", "zu schwach",
            ],
            &["ne suffit pas", "ne suffisent pas", "trop faible"],
            &["te zwak"],
            &["no basta", "demasiado débil"],
            &["rækker ikke", "for svag"],
            &["non basta", "troppo debole"],
        ],
    },
    Row {
        tag: Tag::Rival,
        reach: Reach::Sentence,
        words: [
            &[
                "others promise", "others claim", "others say", "some sellers", "other sellers", "some shops",
                "cheap imports", "cheap pumps", "imports say", "brand x", "brand y", "competitor's",
                "competitor’s", "competitors", "competing", "their figures", "unlike pumps", "unlike others",
                "pumps that claim", "sellers who", "compared with a", "compared to a", "a rival", "rivals",
                "elsewhere you", "ordinary pumps", "pumps we tested", "machines we tested", "market average",
                "competitor", "the big boys", "the big brands", "other brand", "other brands’", "auction site",
            ],
            &[
                "andere versprechen", "manche anbieter", "andere anbieter", "mitbewerber", "wettbewerber",
                "konkurrenz", "getestete pumpen", "marktdurchschnitt", "beim mitbewerber", "baumarkt", "baumarktset", "fremdfabrikat",
            ],
            &[
                "d'autres promettent", "d’autres promettent", "certains vendeurs", "concurrents", "la concurrence", "autre marque", "marque concurrente",
            ],
            &["anderen beloven", "sommige verkopers", "concurrenten", "de concurrentie", "bouwmarkt", "bouwmarktset", "ander merk"],
            &["otros prometen", "algunos vendedores", "la competencia", "competidores", "otra marca"],
            &["andre lover", "konkurrenter", "konkurrenten", "byggemarked", "andet mærke"],
            &["altri promettono", "concorrenti", "la concorrenza", "altra marca"],
        ],
    },
    Row {
        tag: Tag::Other,
        reach: Reach::Sentence,
        words: [
            &[
                "for those we", "for these we", "needs our", "pick a piston", "take our", "ask for the", "see the", "step up to", "bigger sister",
                "big sister", "smaller sister", "little sister", "big brother", "bigger brother", "sister model",
                "the family runs", "the range runs", "our range", "also in the shop", "our largest", "our other",
                "you may also", "other models", "customers also", "others also", "related products", "similar products",
                "also look at", "kit instead", "set instead", "model instead", "system instead", "bargain corner", "bargains", "we don't sell", "we do not sell", "clearance corner", "we also sell", "we also make", "also from us", "also available", "more from us",
            ],
            &[
                "nehmen sie bitte", "nehmen sie unser", "große schwester", "großer bruder", "empfehlen wir unser",
                "unsere baureihe", "auch im sortiment", "kunden kauften", "kauften auch", "ähnliche artikel", "ähnliche produkte",
                "das könnte ihnen", "passend dazu", "stattdessen unser", "führen wir nicht", "verkaufen wir nicht", "restposten", "schnäppchen", "für diese verkaufen", "dafür verkaufen wir", "wir führen auch", "wir verkaufen auch", "ebenfalls im programm", "weitere produkte",
            ],
            &["prenez le kit", "choisissez notre", "prenez notre", "notre gamme", "grande sœur", "produits similaires", "vous aimerez", "ont aussi acheté", "produits associés", "pour ceux-là", "pour celles-là", "nous vendons aussi", "également disponible", "à voir aussi", "autres modèles", "bonnes affaires", "nous ne vendons pas"],
            &["neemt u de", "neem onze", "kies onze", "grotere broer", "onze reeks", "anderen bekeken", "anderen kochten", "vergelijkbare producten", "klanten kochten", "daarvoor verkopen wij", "wij verkopen ook", "ook bij ons", "ook verkrijgbaar", "andere modellen", "koopjes", "koopjeshoek", "verkopen wij niet", "verkopen we niet"],
            &["elija el equipo", "elija nuestro", "hermano mayor", "nuestra gama", "productos relacionados", "también compraron", "productos similares", "para esos", "también vendemos", "también tenemos", "otros modelos", "otros equipos", "oportunidades", "no vendemos"],
            &["vælg vores", "storebror", "andre købte", "andre kunder", "lignende produkter", "relaterede", "til dem sælger vi", "vi sælger også", "fås også", "andre modeller", "restsalg", "sælger vi ikke"],
            &["scegliete il", "scegli il nostro", "fratello maggiore", "prodotti correlati", "prodotti simili", "hanno acquistato anche", "per quelli", "vendiamo anche", "altri modelli", "altri prodotti", "occasioni", "non vendiamo"],
        ],
    },
    Row {
        tag: Tag::Customer,
        reach: Reach::Sentence,
        words: [
            &[
                "your pond", "your lake", "for your", "customers with", "a customer", "our customer",
                "customers whose", "owners of", "their lake", "their pond", "his lake", "her lake", "my pond",
                "my lake", "my neighbour", "my neighbor", "your enquiry", "your inquiry", "the mill pond",
                "for example", "example:", "how to measure", "rule of the trade", "rule of thumb", "in a test",
                "got five", "reader question", "reader's question", "readers ask", "readers write",
            ],
            &[
                "ihren teich", "ihr teich", "ihrem teich", "ihren see", "ihr see", "beispiel", "der weiher in",
                "der see in", "ein kunde", "unser kunde", "eines kunden", "unseres kunden", "eine kundin", "einer kundin",
                "unserer kundin", "unsere kundin", "faustregel", "leserfrage", "leserbrief",
            ],
            &["votre étang", "votre bassin", "votre lac", "par exemple", "exemple", "un client", "une cliente", "notre client", "notre cliente", "question de lecteur", "courrier des lecteurs"],
            &["uw vijver", "uw plas", "je vijver", "bijvoorbeeld", "voorbeeld", "een klant", "onze klant", "lezersvraag"],
            &["su estanque", "su lago", "por ejemplo", "ejemplo", "un cliente", "nuestro cliente", "una clienta", "nuestra clienta", "pregunta de un lector"],
            &["jeres dam", "jeres sø", "din dam", "for eksempel", "en kunde", "vores kunde", "kundens", "læserbrev", "læserspørgsmål"],
            &["il vostro laghetto", "vostro laghetto", "vostro lago", "per esempio", "un cliente", "una cliente", "nostro cliente", "nostra cliente", "domanda di un lettore"],
        ],
    },
    Row {
        tag: Tag::Story,
        reach: Reach::Sentence,
        words: [
            &[
                "case study", "case studies", "customer stories", "success stories", "installations",
                "reference projects", "next door runs", "next door has", "next door uses", "the neighbour", "the neighbor", "neighbours have", "our neighbour",
                "our neighbours", "our neighbor", "our neighbors", "pond visit", "a visit to",
            ],
            &["fallbeispiel", "referenzen", "kundenprojekte", "der nachbar", "mein nachbar", "unser nachbar", "unsere nachbarn", "zu besuch bei", "besuch bei"],
            &["étude de cas", "références", "réalisations", "le voisin", "nos voisins", "visite chez"],
            &["praktijkvoorbeeld", "referenties", "de buurman", "de buren", "onze buren", "op bezoek bij"],
            &["caso práctico", "casos prácticos", "el vecino", "nuestros vecinos", "visita a"],
            &["referencer", "naboen", "vores nabo", "vores naboer", "min nabo", "besøg hos"],
            &["caso di studio", "referenze", "il vicino", "i nostri vicini", "visita a"],
        ],
    },
    Row {
        tag: Tag::Former,
        reach: Reach::Ahead,
        words: [
            &[
                "until 19", "until 20", "was sold for", "were sold for", "used to", "earlier leaflets",
                "earlier versions", "erratum", "no longer", "the old", "old model", "previous model",
                "former model", "its predecessor", "formerly", "replaces the", "last year's", "last year’s",
                "your old", "which it replaces", "until last",
                "was rated",
            ],
            &["vorgängermodell", "vorgänger", "das alte modell", "früher", "bis 20", "nicht mehr", "frühere geräte", "frühere modelle", "ältere geräte", "ihr altes", "dein altes"],
            &["ancien modèle", "l'ancien", "l’ancien", "autrefois", "ancienne version", "n'est plus", "votre ancien", "votre ancienne", "anciens appareils"],
            &["vorige model", "het oude model", "vroeger", "voorganger", "uw oude", "je oude", "eerdere modellen"],
            &["modelo anterior", "antes era", "el antiguo", "su antiguo", "su viejo", "modelos anteriores"],
            &["tidligere model", "den gamle model", "forgænger", "gl. model", "gammel model", "jeres gamle", "dit gamle"],
            &["modello precedente", "il vecchio modello", "il vostro vecchio", "modelli precedenti"],
        ],
    },
    Row {
        tag: Tag::Wish,
        reach: Reach::Sentence,
        words: [
            &[
                "want to offer", "we want", "we'd like", "next year", "next season", "if only", "our goal",
                "our aim", "planned for", "we plan", "we hope", "coming soon", "imagine", "would need",
                "would have to", "would serve", "would take", "in theory", "would be", "working on a", "not in this version", "asked for", "wish list",
            ],
            &[
                "wir arbeiten an", "wir planen", "geplant", "nächstes jahr", "unser ziel", "theoretisch",
                "demnächst",
            ],
            &["nous préparons", "l'an prochain", "notre objectif", "en théorie", "prochainement"],
            &["wij werken aan", "we werken aan", "volgend jaar", "ons doel", "in theorie", "binnenkort"],
            &["estamos preparando", "el próximo año", "nuestro objetivo", "en teoría", "próximamente"],
            &["vi arbejder på", "næste år", "vores mål", "i teorien"],
            &["stiamo preparando", "l'anno prossimo", "il nostro obiettivo", "in teoria"],
        ],
    },
    Row {
        tag: Tag::Quoted,
        reach: Reach::Sentence,
        words: [
            &["you said", "you say", "you wrote", "you mentioned", "you told", "you found", "you describe", "you gave", "you quoted"],
            &["nach ihren angaben", "ihren angaben zufolge", "sie schrieben", "sie schreiben", "sie nannten", "ihnen genannt", "ihnen genannte", "ihrer anfrage"],
            &["vous nous dites", "vous nous avez", "vous nous indiquez", "vous écrivez", "vous indiquez", "selon vous"],
            &["u schreef", "u schrijft", "u zei", "u vroeg", "u noemde", "volgens u", "u gaf aan"],
            &["nos dijo", "nos indica", "nos indicó", "nos comenta", "nos comentó", "según usted"],
            &["du skrev", "du skriver", "i skrev", "i skriver", "du spurgte", "du nævnte"],
            &["ci ha detto", "ci ha scritto", "ci ha indicato", "lei scrive", "secondo lei"],
        ],
    },
    Row {
        tag: Tag::Former,
        reach: Reach::Sentence,
        words: [
            &["discontinued", "withdrawn", "were dropped", "was dropped", "out of production", "sold out", "end of line", "no longer made"],
            &["auslauf", "auslaufend", "auslaufmodell", "nicht mehr lieferbar", "nicht mehr hergestellt", "eingestellt"],
            &["n'est plus fabriqué", "n’est plus fabriqué", "n'est plus fabriquée", "n’est plus fabriquée", "plus fabriqués", "supprimé", "supprimée", "arrêté en", "fin de série"],
            &["uit het programma", "niet meer leverbaar", "uit productie", "niet meer gemaakt"],
            &["ya no se fabrica", "ya no se fabrican", "ya no se hace", "ya no se vende", "descatalogado", "descatalogada"],
            &["udgik", "udgået", "er udgået", "laves ikke mere"],
            &["fuori produzione", "non più prodotto", "non più prodotta", "non si produce più", "fuori catalogo"],
        ],
    },
    Row {
        tag: Tag::Former,
        reach: Reach::Ahead,
        words: [
            &["superseded"],
            &["das alte", "der alte", "die alte", "bisheriger preis"],
            &["l'ancienne", "l’ancienne", "les anciens"],
            &["de oude", "vorig jaar", "prijs vorig jaar"],
            &["antiguo modelo", "el viejo"],
            &["den gamle", "erstatter"],
            &["la vecchia", "il precedente"],
        ],
    },
    Row {
        tag: Tag::Offered,
        reach: Reach::Sentence,
        words: [
            &["is there a", "is there anything", "do you have", "have you", "do you make", "do you sell", "do you offer"],
            &["gibt es", "haben sie", "bieten sie", "bauen sie"],
            &["existe-t-il", "y a-t-il", "avez-vous", "proposez-vous", "vendez-vous"],
            &["is er een", "is er ook", "hebt u", "heeft u", "hebben jullie", "maken jullie", "verkoopt u"],
            &["hay algún", "hay un", "hay una", "tienen", "tiene usted", "venden"],
            &["findes der", "har i", "har du", "er der en", "er der et", "laver i"],
            &["c'è un", "c’è un", "avete", "esiste un", "vendete"],
        ],
    },
    Row {
        tag: Tag::No,
        reach: Reach::Sentence,
        words: [&["no"], &["nein"], &["non"], &["nee"], &["no"], &["nej"], &["no"]],
    },
    // Believed before a name only.
    Row {
        tag: Tag::Elsewhere,
        reach: Reach::Sentence,
        words: [
            &["the lake at", "the lake near", "the pond at", "the pond near", "the quarry at", "the quarry near", "the reservoir at", "the reservoir near"],
            &["der see bei", "der see in", "der teich bei", "der teich in", "der weiher bei", "der baggersee bei", "den baggersee bei", "den see bei", "den teich bei", "im see bei", "im teich bei", "im weiher bei"],
            &["l'étang de", "l’étang de", "l'étang à", "l’étang à", "le lac de", "le lac à", "le plan d'eau de", "le plan d’eau de"],
            &["de plas bij", "de plas in", "de plas van", "de vijver bij", "de vijver in", "het meer bij", "het meer van"],
            &["el lago de", "el embalse de", "la balsa de", "el estanque de", "la charca de", "la laguna de"],
            &["søen ved", "søen i", "dammen ved", "dammen i"],
            &["il lago di", "il laghetto di", "il laghetto a", "lo stagno di", "il bacino di"],
        ],
    },
    Row {
        tag: Tag::Example,
        reach: Reach::Sentence,
        words: [
            &["example", "for example", "worked example", "e.g.", "suppose", "supposing", "let us say", "let's say", "say your"],
            &["beispiel", "rechenbeispiel", "zum beispiel", "z.b.", "ein beispiel", "angenommen", "gesetzt"],
            &["exemple", "par exemple", "p.ex.", "supposons", "imaginons", "prenons"],
            &["voorbeeld", "rekenvoorbeeld", "bijvoorbeeld", "bijv.", "stel", "een voorbeeld"],
            &["ejemplo", "por ejemplo", "p.ej.", "supongamos", "imaginemos", "un ejemplo"],
            &["eksempel", "regneeksempel", "for eksempel", "fx", "f.eks.", "lad os sige", "et eksempel"],
            &["esempio", "per esempio", "p.es.", "supponiamo", "immaginiamo", "un esempio"],
        ],
    },
    Row {
        tag: Tag::Spare,
        reach: Reach::Sentence,
        words: [
            &[
                "spare", "airline", "tubing", "weighted tubing", "hose", "weighted hose", "pipe", "cable", "plate", "disc", "diffuser head", "membrane", "membranes",
                "membrane kit", "diaphragm", "diaphragms", "rebuild kit", "service kit", "repair kit", "vane set", "vanes", "air filter", "filter", "filters", "check valve", "gauge",
                "motor", "fuse", "timer", "fitting", "fittings", "relief valve", "safety valve", "extra", "roll of", "coil of", "self-sinking airline", "weighted airline", "weighted line", "weighted diffusers", "bracket", "delivery", "installation", "commissioning", "carriage",
            ],
            &[
                "ersatz", "schlauch", "luftschlauch", "kabel", "membranteller", "belüfterteller", "ersatzmembran", "membran", "membranen", "membransatz", "reparatursatz",
                "luftfilter", "filter", "rückschlagventil", "manometer", "sicherung", "zeitschaltuhr", "verschraubung", "sinkschlauch", "bleischlauch", "sicherheitsventil", "rolle", "kolbensatz", "lieferung", "montage", "inbetriebnahme", "versand", "sauerstoffmesser",
            ],
            &[
                "pièce", "tuyau", "tuyau lesté", "plateau", "plateau supplémentaire", "soupape", "rouleau", "câble", "membrane", "membranes", "kit de membranes", "jeu de membranes", "filtre", "filtre à air", "disque", "disque epdm", "ventilateur", "clapet", "clapet anti-retour", "manomètre", "fusible",
                "livraison", "installation", "pose", "mise en service",
            ],
            &["reserve", "reservemembraan", "slang", "luchtslang", "kabel", "schotel", "membraan", "membraanset", "membranen", "luchtfilter", "filter", "terugslagklep", "manometer", "zekering",
                "bezorging", "plaatsing", "montage", "levering",
            ],
            &[
                "repuesto", "manguera", "tubo", "cable", "membrana", "membranas", "juego de membranas", "filtro", "filtro de aire", "válvula", "manómetro", "fusible",
                "transporte", "instalación", "montaje", "portes",
            ],
            &["reserve", "reservemembran", "reservefilter", "sænkeslange", "slange", "luftslange", "kabel", "membran", "membransæt", "membraner", "luftfilter", "filter", "kontraventil", "manometer", "sikring", "levering", "montering", "fragt"],
            &["ricambio", "tubo", "cavo", "membrana", "membrane", "kit membrane", "filtro", "filtro aria", "valvola", "manometro", "fusibile", "consegna", "installazione", "montaggio", "trasporto"],
        ],
    },
    Row {
        tag: Tag::Spares,
        reach: Reach::Sentence,
        words: [
            &["spares", "spare parts", "replacement parts", "accessories", "parts and accessories", "spares and accessories"],
            &["ersatzteile", "zubehör", "zubehör und ersatzteile", "verschleißteile"],
            &["pièces détachées", "pièces de rechange", "accessoires"],
            &["onderdelen", "reserveonderdelen", "accessoires", "toebehoren"],
            &["recambios", "repuestos", "accesorios", "recambios y accesorios"],
            &["reservedele", "tilbehør", "reservedele og tilbehør"],
            &["ricambi", "pezzi di ricambio", "accessori", "ricambi e accessori"],
        ],
    },
    // What wears, and is sold again.
    Row {
        tag: Tag::Spare,
        reach: Reach::Clause,
        words: [
            &["spare", "membranes", "diaphragm", "diaphragms", "rebuild kit", "service kit", "repair kit", "vanes", "vane set", "filter", "filters", "elements", "stones"],
            &["membranen", "membransatz", "membrane", "filter", "luftfilter", "schieber", "ersatzmembran", "dichtung", "satz"],
            &["membranes", "membrane", "filtre", "filtres", "joint", "palettes"],
            &["membraan", "membranen", "filter", "luchtfilter", "schoepen"],
            &["membranas", "membrana", "filtro", "filtros", "paletas"],
            &["membran", "membranen", "membraner", "filter", "filteret", "lameller"],
            &["membrane", "membrana", "filtro", "filtri", "palette"],
        ],
    },
    // By how much a figure changes.
    Row {
        tag: Tag::Difference,
        reach: Reach::Next,
        words: [
            &["add", "adds", "allow", "up by", "down by", "by another"],
            &["plus", "zuzüglich", "rechnen sie", "um weitere"],
            &["ajoutez", "ajouter", "comptez", "de plus de"],
            &["tel", "reken op", "plus"],
            &["sume", "añada", "cuente"],
            &["læg", "regn med"],
            &["aggiungete", "aggiungere", "calcolate"],
        ],
    },
    // What a thing cost before.
    Row {
        tag: Tag::Former,
        reach: Reach::Next,
        words: [
            &["was", "list was", "previously", "last year", "up from", "down from"],
            &["statt", "bisher", "früher", "vorher"],
            &["avant", "au lieu de", "ancien prix"],
            &["adviesprijs", "voorheen", "van"],
            &["antes"],
            &["før", "førpris"],
            &["prima", "invece di"],
        ],
    },
    Row {
        tag: Tag::Wish,
        reach: Reach::Sentence,
        words: [
            &["we tried", "next spring", "next summer", "next autumn", "next fall", "may come", "may follow", "might come", "we may one day", "been asked for", "have asked for"],
            &["wir hoffen", "kommt vielleicht", "wir haben versucht"],
            &["nous espérons", "peut-être un jour", "nous avons essayé"],
            &["we hopen", "wij hopen", "hopen op", "bestaat nog niet"],
            &["esperamos", "hemos intentado", "aún no existe"],
            &["vi håber", "findes ikke endnu", "vi har prøvet"],
            &["speriamo", "non esiste ancora", "abbiamo provato"],
        ],
    },
    Row {
        tag: Tag::Story,
        reach: Reach::Sentence,
        words: [
            &["in a trial", "a trial in", "real case", "a farmer"],
            &["in einem versuch", "aus der praxis", "ein landwirt", "ein leser"],
            &["cas réel", "lors d'un essai", "lors d’un essai", "un agriculteur", "un lecteur"],
            &["in een proef", "uit de praktijk", "een boer", "een lezer"],
            &["caso real", "en una prueba", "en un ensayo", "un agricultor", "un lector"],
            &["i et forsøg", "fra praksis", "en landmand", "en læser", "eksempel:"],
            &["caso reale", "in una prova", "un agricoltore", "un lettore"],
        ],
    },
    // What a letter answers.
    Row {
        tag: Tag::Story,
        reach: Reach::Sentence,
        words: [
            &["subject:", "your enquiry of", "your pond:"],
            &["betreff:", "betr.:", "ihr teich:"],
            &["objet :", "objet:", "votre étang :"],
            &["onderwerp:", "betreft:", "uw vijver:"],
            &["asunto:", "ref.:", "su balsa:"],
            &["emne:", "vedr.:", "jeres sø:"],
            &["oggetto:", "rif.:", "il vostro laghetto:"],
        ],
    },
    // Waters that lie somewhere, and aren't the offer's.
    Row {
        tag: Tag::Customer,
        reach: Reach::Sentence,
        words: [
            &["there is a", "there are", "there's a"],
            &["es gibt", "gibt es"],
            &["il y a", "il existe"],
            &["er is een", "er ligt een"],
            &["hay un", "hay una"],
            &["der er en", "der findes", "der ligger"],
            &["c'è un", "c’è un", "esiste un"],
        ],
    },
    Row {
        tag: Tag::Fee,
        reach: Reach::Ahead,
        words: [
            &[
                "shipping", "carriage", "freight", "postage", "delivery", "deposit", "installation", "not included", "subtotal",
                "sales tax", "liftgate", "restocking", "interest-free", "instalments", "installments", "minimum order", "min. order",
                "surcharge", "handling", "call-out", "free over", "orders over", "rebate", "budget", "pallet", "s&h", "s & h", "you save", "optional", "on top of that",
            ],
            &[
                "versand", "versandkosten", "fracht", "frei haus", "anfahrt", "montage", "nicht enthalten", "zwischensumme", "mwst",
                "mindestbestellwert", "rabatt", "anzahlung", "zuschlag", "kaution", "skonto", "ratenzahlung", "finanzierung", "lieferung frei", "porto", "sie sparen", "du sparst", "bestellungen über", "aufpreis",
            ],
            &[
                "livraison", "frais de port", "port offert", "port seul", "franco", "éco-part", "éco-participation", "acompte", "sous-total",
                "non compris", "en 3x", "en 4x", "paiement en", "sans frais", "commande minimum", "vous économisez", "commandes de plus",
            ],
            &["verzenden", "verzending", "verzendkosten", "bezorging", "franco", "montage", "niet inbegrepen", "subtotaal", "aanbetaling", "in termijnen", "minimumbestelling", "u bespaart", "bestellingen boven"],
            &["portes", "envío", "envíos", "flete", "anticipo", "a plazos", "instalación", "no incluido", "no incluye", "subtotal", "pedido mínimo", "pedidos de más", "ahorra", "usted ahorra"],
            &["fragt", "forsendelse", "levering", "depositum", "i rater", "montering", "ikke inkluderet", "subtotal", "minimumsordre", "du sparer", "ordre over", "ordrer over"],
            &["spedizione", "consegna", "trasporto", "installazione", "non incluso", "non inclusa", "subtotale", "caparra", "a rate", "acconto", "ordine minimo", "risparmiate", "ordini oltre"],
        ],
    },
    Row {
        tag: Tag::Fee,
        reach: Reach::Next,
        words: [
            &["total", "grand total", "vat", "tax"],
            &["gesamt", "summe", "gesamtbetrag", "endbetrag", "ust", "mehrwertsteuer"],
            &["total", "total ttc", "total ht", "tva"],
            &["totaal", "btw"],
            &["total", "iva"],
            &["i alt", "total", "moms"],
            &["totale", "iva"],
        ],
    },
    Row {
        tag: Tag::Fee,
        reach: Reach::Last,
        words: [
            &["free", "waived", "on top", "carriage", "s&h"],
            &["frei", "kostenlos", "gratis", "frachtfrei", "versandkostenfrei", "portofrei"],
            &["offert", "offerte", "gratuit", "gratuite", "franco"],
            &["gratis"],
            &["gratis"],
            &["gratis", "fri", "fragtfri", "fragtfrit"],
            &["gratis", "gratuita", "gratuito"],
        ],
    },
    Row {
        tag: Tag::Fee,
        reach: Reach::Ahead,
        words: [
            &["otherwise"],
            &["darunter", "sonst"],
            &["sinon"],
            &["anders"],
            &["si no"],
            &["ellers"],
            &["altrimenti"],
        ],
    },
    Row {
        tag: Tag::Quoted,
        reach: Reach::Sentence,
        words: [
            &["been asked", "customers ask", "people ask", "somebody asked", "someone asked"],
            &["wurde gefragt", "kunden fragen", "kunde:", "kunde fragt"],
            &["on nous demande", "on nous l'a demandé", "clients demandent"],
            &["klanten vragen", "gevraagd of"],
            &["clientes piden", "clientes preguntan", "nos preguntan"],
            &["kunder spørger", "har spurgt"],
            &["clienti chiedono", "ci chiedono"],
        ],
    },
    Row {
        tag: Tag::Rival,
        reach: Reach::Sentence,
        words: [
            &["as others do", "firms who", "firms that", "makers who", "makers that", "the competition", "another outfit", "another brand", "other make", "another make"],
            &["wie andere", "ein mitbewerber", "ein wettbewerber", "der wettbewerb", "andere hersteller"],
            &["un concurrent", "d'un concurrent", "d’un concurrent", "comme d'autres", "comme d’autres", "autres fabricants"],
            &["een concurrent", "zoals anderen", "andere merken"],
            &["como hacen otros", "como otros", "un competidor", "otras marcas"],
            &["som andre", "en konkurrent", "andre mærker"],
            &["come altri", "un concorrente", "altre marche"],
        ],
    },
    Row {
        tag: Tag::Quoted,
        reach: Reach::Clause,
        words: [
            &["statutory", "the law", "by law"],
            &["gesetzlich", "gesetzliche", "das gesetz"],
            &["garantie légale", "la loi"],
            &["wettelijk", "wettelijke", "de wet"],
            &["garantía legal", "la ley"],
            &["lovpligtig", "reklamationsret", "loven"],
            &["garanzia legale", "la legge", "per legge"],
        ],
    },
    Row {
        tag: Tag::Quoted,
        reach: Reach::Last,
        words: [
            &["by law"],
            &["gesetzlich", "gesetzliche"],
            &["légale", "légal"],
            &["wettelijk"],
            &["legal"],
            &["efter loven"],
            &["legale", "di legge"],
        ],
    },
    Row {
        tag: Tag::Other,
        reach: Reach::Last,
        words: [
            &["instead"],
            &["stattdessen"],
            &["à la place"],
            &["in plaats daarvan"],
            &["en su lugar"],
            &["i stedet"],
            &["invece"],
        ],
    },
    Row {
        tag: Tag::Negated,
        reach: Reach::Sentence,
        words: [
            &["is not possible", "isn't possible", "isn’t possible", "impossible"],
            &["nicht möglich", "unmöglich"],
            &["pas possible", "impossible"],
            &["niet mogelijk", "onmogelijk"],
            &["no es posible", "imposible"],
            &["ikke muligt", "ikke mulig", "umuligt"],
            &["non è possibile", "impossibile"],
        ],
    },
    Row {
        tag: Tag::Other,
        reach: Reach::Sentence,
        words: [
            &["sold separately", "available separately", "optional extra"],
            &["separat erhältlich", "gegen aufpreis", "als option"],
            &["vendu séparément", "vendue séparément", "en option"],
            &["apart verkrijgbaar", "tegen meerprijs", "als optie"],
            &["se vende por separado", "se venden por separado", "opcional"],
            &["sælges separat", "mod merpris", "som tilvalg"],
            &["venduto separatamente", "venduta separatamente", "in opzione"],
        ],
    },
    Row {
        tag: Tag::Absent,
        reach: Reach::Sentence,
        words: [
            &["not included", "not supplied", "not in the box"],
            &["nicht enthalten", "nicht im lieferumfang"],
            &["non compris", "non fourni", "non fournis"],
            &["niet inbegrepen", "niet meegeleverd"],
            &["no incluido", "no incluye", "no se incluye"],
            &["ikke inkluderet", "medfølger ikke", "ikke medfølgende"],
            &["non incluso", "non compreso", "non fornito"],
        ],
    },
    Row {
        tag: Tag::Ask,
        reach: Reach::Sentence,
        words: [
            &["ask us", "call us", "ring us", "talk to us", "contact us", "ask for a"],
            &["fragen sie", "anfragen", "rufen sie uns", "sprechen sie uns"],
            &["demandez", "appelez", "contactez", "consultez-nous"],
            &["bel ons", "vraag ons", "vraag een", "neem contact"],
            &["llámenos", "consúltenos", "pregúntenos", "consulte", "pida", "solicite"],
            &["spørg os", "ring til os", "kontakt os"],
            &["chiedeteci", "chiedete", "richiedete", "chiamateci", "contattateci", "consultateci"],
        ],
    },
    Row {
        tag: Tag::Rival,
        reach: Reach::Sentence,
        words: [
            &["some brands", "other brands", "some makers"],
            &["manche marken", "andere marken", "manche hersteller"],
            &["certaines marques", "d'autres marques", "d’autres marques", "certains fabricants"],
            &["sommige merken", "sommige fabrikanten", "andere fabrikanten"],
            &["algunas marcas", "algunos fabricantes"],
            &["nogle mærker", "nogle producenter"],
            &["alcune marche", "alcuni produttori"],
        ],
    },
    Row {
        tag: Tag::Everyday,
        reach: Reach::Sentence,
        words: [
            &[
                "for comparison", "fountain", "kettle", "fridge", "refrigerator", "freezer", "library", "conversation", "light bulb", "bulb", "mower", "television", "vacuum cleaner",
                "hair dryer", "toaster", "dishwasher", "background", "office hum", "whispering", "router", "traffic",
                "paddle wheel", "paddlewheel", "windmill", "septic pump", "lamp", "football pitch", "tennis court", "mosquito",
            ],
            &[
                "zum vergleich", "springbrunnen", "wasserkocher", "sprudler", "schaufelrad", "lampe", "fußballfeld", "kühlschrank", "bibliothek", "gespräch", "unterhaltung", "glühbirne", "rasenmäher", "staubsauger", "fernseher",
                "hintergrund", "flüstern", "router", "toaster",
            ],
            &["à titre de comparaison", "pour comparer", "jet d'eau", "jet d’eau", "lampe", "roue à aubes", "terrain de football", "bouilloire", "réfrigérateur", "frigo", "bibliothèque", "conversation", "ampoule", "tondeuse", "aspirateur", "téléviseur", "box internet", "bruit de fond", "chuchotement"],
            &["ter vergelijking", "fontein", "lamp", "schoepenrad", "voetbalveld", "waterkoker", "koelkast", "bibliotheek", "gesprek", "gloeilamp", "grasmaaier", "stofzuiger", "televisie", "achtergrond", "fluisteren", "router"],
            &["para comparar", "en comparación", "surtidor", "motobomba", "lámpara", "campo de fútbol", "hervidor", "nevera", "frigorífico", "biblioteca", "conversación", "bombilla", "cortacésped", "aspiradora", "televisor", "router", "ruido de fondo", "susurro"],
            &["til sammenligning", "springvand", "lampe", "fodboldbane", "elkedel", "køleskab", "bibliotek", "samtale", "elpære", "plæneklipper", "støvsuger", "fjernsyn", "baggrund", "hvisken"],
            &["per confronto", "fontana", "lampada", "campo di calcio", "bollitore", "frigorifero", "biblioteca", "conversazione", "lampadina", "tosaerba", "aspirapolvere", "televisore", "rumore di fondo", "sussurro"],
        ],
    },
    Row {
        tag: Tag::Rate,
        reach: Reach::Beside,
        words: [
            &["a foot", "per foot", "each foot", "for each foot", "for every foot", "per metre", "a metre", "per meter", "for each metre", "for every metre", "of depth"],
            &["je meter", "pro meter", "für jeden meter"],
            &["par mètre", "pour chaque mètre"],
            &["per meter", "voor elke meter", "voor iedere meter"],
            &["por metro", "por cada metro"],
            &["pr. meter", "per meter", "for hver meter"],
            &["al metro", "per metro", "per ogni metro"],
        ],
    },
    Row {
        tag: Tag::Rate,
        reach: Reach::Sentence,
        words: [
            &["rule of thumb"],
            &["faustregel", "faustformel"],
            &["règle empirique", "en règle générale"],
            &["vuistregel"],
            &["regla general", "regla práctica"],
            &["tommelfingerregel"],
            &["regola empirica", "regola pratica"],
        ],
    },
    Row {
        tag: Tag::Denied,
        reach: Reach::Sentence,
        words: [
            &[
                "not", "doesn't", "doesn’t", "don't", "don’t", "isn't", "isn’t", "aren't", "aren’t", "won't", "won’t", "can't", "can’t",
                "cannot", "didn't", "didn’t", "never",
            ],
            &["nicht", "nie", "niemals"],
            &["ne", "n'est", "n’est", "n'a", "n’a", "pas"],
            &["niet", "nooit"],
            &["no", "nunca", "tampoco"],
            &["ikke", "aldrig"],
            &["non", "mai"],
        ],
    },
    Row {
        tag: Tag::None,
        reach: Reach::Sentence,
        words: [
            &["no", "none", "nothing", "nobody", "no one", "neither"],
            &["kein", "keine", "keinen", "keinem", "keiner", "nichts", "niemand"],
            &["aucun", "aucune", "rien", "personne"],
            &["geen", "niets", "niemand"],
            &["ningún", "ninguno", "ninguna", "nada", "nadie"],
            &["ingen", "intet", "ingenting"],
            &["nessun", "nessuno", "nessuna", "niente"],
        ],
    },
    Row {
        tag: Tag::What,
        reach: Reach::Clause,
        words: [
            &["what"],
            &["was"],
            &["ce que", "ce qu'il", "ce qu’il", "ce qu'elle", "ce qu’elle"],
            &["wat"],
            &["lo que"],
            &["hvad", "det"],
            &["cosa", "che cosa", "ciò che", "quello che"],
        ],
    },
    Row {
        tag: Tag::Voices,
        reach: Reach::Clause,
        words: [
            &["reviews", "customer reviews", "testimonials", "what customers say"],
            &["bewertungen", "das sagen unsere kunden", "kundenbewertungen", "kundenstimmen", "meinungen", "rezensionen"],
            &["avis", "ce que disent nos clients", "avis clients", "témoignages"],
            &["reviews", "beoordelingen", "klantbeoordelingen", "ervaringen"],
            &["opiniones", "lo que dicen", "valoraciones", "reseñas"],
            &["anmeldelser", "det siger vores kunder", "kundeanmeldelser"],
            &["recensioni", "dicono di noi", "opinioni"],
        ],
    },
    Row {
        tag: Tag::Remarks,
        reach: Reach::Clause,
        words: [
            &["remark", "remarks", "note", "notes", "comment", "comments"],
            &["bemerkung", "bemerkungen", "anmerkung", "hinweis", "hinweise"],
            &["remarque", "remarques", "observations"],
            &["opmerking", "opmerkingen", "toelichting"],
            &["observación", "observaciones", "nota", "notas"],
            &["bemærkning", "bemærkninger", "note", "noter"],
            &["note", "nota", "osservazioni"],
        ],
    },
    Row {
        tag: Tag::Quoted,
        reach: Reach::Sentence,
        words: [
            &[
                "leaflet says", "neighbour says", "neighbor says", "he says", "she says", "they say", "he said",
                "she said", "told us", "told me", "writes:", "wrote:", "true or false", "we are told",
                "i'd like to see", "county asks", "county wants", "county requires", "state asks", "state requires",
                "law asks", "law requires", "regulations ask", "regulations require", "authority asks",
                "authority requires", "standard asks", "standard requires",
            ],
            &[
                "sagt er", "sagt sie", "schreibt uns", "hören wir", "heißt es", "behörde verlangt", "behörde fordert",
                "verordnung verlangt", "verordnung fordert", "norm verlangt", "norm fordert",
            ],
            &["dit-il", "dit-elle", "nous écrit", "on nous dit", "la réglementation exige", "la norme exige"],
            &["zegt hij", "zegt zij", "schrijft ons", "de gemeente eist", "de norm eist"],
            &["dice que", "nos escribe", "la normativa exige", "la norma exige"],
            &["siger han", "siger hun", "kommunen kræver", "normen kræver"],
            &["dice che", "ci scrive", "la normativa richiede", "la norma richiede"],
        ],
    },
    Row {
        tag: Tag::Part,
        reach: Reach::Clause,
        words: [
            &[
                "alone may", "discs alone", "disc alone", "membranes alone", "fuse", "burst", "relief valve",
                "check valve", "safety valve", "thermal cut-out", "cable rated", "hose rated", "alarm",
                "motor class", "hose, burst", "needle valve", "ball valve",
            ],
            &[
                "membranteller einzeln", "einzeln bis", "sicherung", "berstdruck", "überdruckventil",
                "sicherheitsventil", "rückschlagventil", "nadelventil", "kugelhahn",
            ],
            &["fusible", "éclatement", "soupape", "membranes seules", "clapet", "clapet anti-retour", "vanne"],
            &["zekering", "barstdruk", "overdrukventiel", "los verkrijgbaar", "terugslagklep", "naaldventiel"],
            &["fusible", "rotura", "válvula de seguridad", "válvula antirretorno"],
            &["sikring", "sprængtryk", "overtryksventil", "kontraventil", "nåleventil"],
            &["fusibile", "scoppio", "valvola di sicurezza", "valvola di non ritorno"],
        ],
    },
    Row {
        tag: Tag::Supposed,
        reach: Reach::Clause,
        words: [
            &["if", "in case", "should you", "suppose", "supposing", "unless", "past", "once you go"],
            &["falls", "wenn", "sollte ihr", "sofern"],
            &["si", "au cas où"],
            &["als uw", "als de vijver", "indien", "mocht"],
            &["si"],
            &["hvis", "såfremt"],
            &["se il", "se la", "qualora"],
        ],
    },
    Row {
        tag: Tag::Supposed,
        reach: Reach::Last,
        words: [
            &[
                "take two", "take three", "take four", "take five", "take six", "you need two", "you need three",
                "you need four", "you need five", "needs two", "needs three", "takes two", "needs several", "use two", "use three", "use four", "order two", "order three",
            ],
            &["braucht zwei", "braucht drei", "braucht mehrere", "nehmen sie zwei", "nehmen sie drei", "nehmen sie vier", "brauchen sie zwei", "brauchen sie drei", "brauchen sie vier"],
            &["demande deux", "demande trois", "prenez deux", "prenez trois", "il faut deux", "il faut trois", "il faut quatre"],
            &["vraagt twee", "heeft er twee", "neemt u twee", "neemt u drie", "zijn twee", "zijn drie"],
            &["necesita dos", "necesita tres", "hacen falta dos", "hacen falta tres", "tome dos"],
            &["kræver to", "kræver tre", "skal der to", "skal der tre", "tag to"],
            &["richiede due", "richiede tre", "servono due", "servono tre", "ne servono"],
        ],
    },
    Row {
        tag: Tag::Explained,
        reach: Reach::Clause,
        words: [
            &["glossary", "definitions", "conversion table", "conversions", "units explained", "troubleshooting", "fault finding", "faults", "symptom", "symptoms", "sign"],
            &["glossar", "begriffe", "umrechnung", "umrechnungstabelle", "störungen", "störungssuche", "fehlersuche", "symptom", "fehlerbild"],
            &["glossaire", "lexique", "conversions", "dépannage", "pannes", "symptôme", "symptômes"],
            &["begrippen", "begrippenlijst", "omrekening", "storingen", "problemen oplossen", "storing", "klacht"],
            &["glosario", "conversiones", "averías", "solución de problemas", "avería", "síntoma", "síntomas"],
            &["ordliste", "omregning", "fejlfinding", "fejl", "symptom"],
            &["glossario", "conversioni", "guasti", "risoluzione dei problemi", "guasto", "sintomo", "sintomi"],
        ],
    },
    Row {
        tag: Tag::Section,
        reach: Reach::Clause,
        words: [
            &[
                "technical data", "technical details", "technical specifications", "specifications", "specification",
                "specs", "data", "data sheet", "general", "general data", "key facts", "key figures", "at a glance",
                "performance", "dimensions", "features", "overview", "details", "description", "electrical",
                "electrical data", "electrics", "mechanical data", "operating data", "scope of delivery",
                "scope of supply", "what's included", "included", "in the box", "contents", "warranty", "running costs",
                "installation", "operation", "maintenance", "noise", "compressor", "diffusers", "airline", "air supply",
                "weights and dimensions", "value", "values", "condition", "conditions", "quantity", "unit", "units",
                "remark", "remarks", "note", "notes", "power supply", "price", "prices", "costs",
            ],
            &[
                "technische daten", "technische angaben", "daten", "datenblatt", "allgemeines", "allgemeine daten",
                "eigenschaften", "merkmale", "überblick", "auf einen blick", "leistungsdaten", "abmessungen", "maße",
                "elektrische daten", "elektrik", "lieferumfang", "beschreibung", "betrieb", "wartung", "garantie",
                "kosten", "betriebskosten", "preis", "preise", "wert", "werte", "bedingung", "bedingungen", "einheit",
                "bemerkung", "bemerkungen", "verdichter", "belüfter", "schlauch",
            ],
            &[
                "données techniques", "caractéristiques techniques", "caractéristiques", "fiche technique",
                "généralités", "dimensions", "contenu", "livraison", "description", "entretien", "garantie", "prix",
                "valeur", "conditions", "unité", "remarques",
            ],
            &[
                "technische gegevens", "specificaties", "kenmerken", "gegevens", "algemeen", "afmetingen",
                "leveringsomvang", "inhoud", "beschrijving", "onderhoud", "garantie", "prijs", "waarde", "eenheid",
                "opmerkingen",
            ],
            &[
                "datos técnicos", "especificaciones", "características", "ficha técnica", "generalidades",
                "dimensiones", "contenido", "descripción", "mantenimiento", "garantía", "precio", "valor", "unidad",
                "observaciones",
            ],
            &[
                "tekniske data", "specifikationer", "egenskaber", "generelt", "mål", "indhold", "beskrivelse",
                "vedligeholdelse", "garanti", "pris", "værdi", "enhed", "bemærkninger",
            ],
            &[
                "dati tecnici", "specifiche", "caratteristiche", "scheda tecnica", "generalità", "dimensioni",
                "contenuto", "descrizione", "manutenzione", "garanzia", "prezzo", "valore", "unità", "note",
            ],
        ],
    },
    Row {
        tag: Tag::Conditions,
        reach: Reach::Clause,
        words: [
            &["condition", "conditions", "measured at", "test condition", "test conditions"],
            &["bedingung", "bedingungen", "gemessen bei", "messbedingung"],
            &["condition", "conditions", "mesuré à"],
            &["voorwaarde", "voorwaarden", "gemeten bij"],
            &["condición", "condiciones", "medido a"],
            &["betingelse", "betingelser", "målt ved"],
            &["condizione", "condizioni", "misurato a"],
        ],
    },
    Row {
        tag: Tag::Difference,
        reach: Reach::Beside,
        words: [
            &["more", "less", "louder", "quieter", "lower", "higher", "deeper", "larger", "bigger", "longer"],
            &["mehr", "weniger", "lauter", "leiser", "tiefer", "größer", "länger"],
            &["de plus", "de moins"],
            &["meer", "minder", "dieper", "groter", "langer"],
            &["más", "menos"],
            &["mere", "mindre"],
            &["in più", "in meno"],
        ],
    },
    Row {
        tag: Tag::Hedged,
        reach: Reach::Sentence,
        words: [
            &[
                "i", "i'm", "i’m", "my", "mine", "he", "she", "his", "they", "their", "was", "were", "had", "got",
                "went", "told", "would", "could", "might", "perhaps", "supposedly", "allegedly", "if", "unless",
                "some say", "owners",
            ],
            &[
                "ich", "mein", "meine", "er hatte", "war", "waren", "hatte", "würde", "könnte", "vielleicht",
                "wenn", "falls",
            ],
            &["je", "mon", "était", "avait", "serait", "pourrait", "peut-être", "si"],
            &["ik", "mijn", "was", "waren", "had", "zou", "misschien", "als"],
            &["yo", "era", "había", "sería", "podría", "quizá", "si"],
            &["jeg", "havde", "ville", "kunne", "måske", "hvis"],
            &["io", "mio", "aveva", "sarebbe", "potrebbe", "forse", "se"],
        ],
    },
    Row {
        tag: Tag::Contrast,
        reach: Reach::Ahead,
        words: [
            &["but", "today", "today's", "ours", "instead it", "now it", "it keeps", "this one", "not only", "the new", "now"],
            &["sondern", "aber", "heute", "nicht nur", "die neue", "der neue", "das neue", "jetzt"],
            &["mais", "aujourd'hui", "pas seulement", "le nouveau", "la nouvelle", "maintenant"],
            &["maar", "nu", "niet alleen", "de nieuwe", "het nieuwe"],
            &["sino", "pero", "hoy", "no solo", "no sólo", "el nuevo", "la nueva", "ahora"],
            &["men", "i dag", "ikke kun", "den nye", "det nye"],
            &["ma", "oggi", "non solo", "il nuovo", "la nuova", "adesso"],
        ],
    },
    Row {
        tag: Tag::Limit,
        reach: Reach::Clause,
        words: [
            &[
                "max", "maximum", "continuous", "continuously", "rated to", "rated up to", "rated for",
                "rated pressure", "pressure rating", "limit", "highest", "at most", "up to", "shut-off",
                "deadhead", "do not exceed", "never exceed", "peak", "no more than", "not more than",
            ],
            &[
                "max", "maximal", "maximaler", "maximaldruck", "höchstdruck", "dauerdruck", "zulässig",
                "dauerbetrieb", "bis zu",
            ],
            &["max", "maximum", "maximale", "maximal", "en continu", "admissible", "jusqu'à"],
            &["max", "maximum", "maximaal", "maximale", "continu"],
            &["max", "máx", "máxima", "máximo", "continua", "hasta"],
            &["maks", "max", "maksimalt", "maksimum", "højst"],
            &["max", "massima", "massimo", "continua", "fino a"],
        ],
    },
    Row {
        tag: Tag::Gauge,
        reach: Reach::Sentence,
        words: [
            &["gauge", "manometer"],
            &["manometer", "druckanzeige"],
            &["manomètre"],
            &["manometer", "drukmeter"],
            &["manómetro"],
            &["manometer", "manometeret"],
            &["manometro"],
        ],
    },
    Row {
        tag: Tag::Shows,
        reach: Reach::Sentence,
        words: [
            &["read", "reads", "reading", "show", "shows", "say", "says", "climbs", "creeps", "rises", "drops", "stays", "points"],
            &["zeigt", "zeigen", "anzeigt", "steigt", "fällt", "steht", "ablesen"],
            &["indique", "affiche", "passe", "dépasse", "monte", "reste", "rester", "lire", "tient"],
            &["wijst", "toont", "geeft", "stijgt", "staat", "aflezen"],
            &["marque", "marca", "indica", "indique", "sube", "pasa", "leer"],
            &["viser", "vise", "stiger", "står", "aflæs", "aflæse"],
            &["segna", "indica", "segni", "sale", "supera", "leggere"],
        ],
    },
    Row {
        tag: Tag::Price,
        reach: Reach::Next,
        words: [
            &["price", "rrp", "msrp"],
            &["preis", "uvp", "komplettpreis", "setpreis"],
            &["prix"],
            &["prijs"],
            &["precio"],
            &["pris"],
            &["prezzo"],
        ],
    },
    Row {
        tag: Tag::With,
        reach: Reach::Beside,
        words: [
            &["incl", "including", "inc", "with", "included", "free"],
            &["inkl", "inklusive", "mit", "inbegriffen", "frei", "kostenlos", "gratis"],
            &["inclus", "avec", "comprise", "compris", "incluse", "offerte", "offert", "gratuite"],
            &["inclusief", "incl", "met", "inbegrepen", "gratis"],
            &["incluido", "incluida", "incluye", "con", "gratis", "pagados"],
            &["inklusiv", "inkl", "med", "inkluderet", "gratis", "fri"],
            &["incluso", "inclusa", "compreso", "compresa", "con", "gratuita", "gratis"],
        ],
    },
    Row {
        tag: Tag::AllDay,
        reach: Reach::Sentence,
        words: [
            &[
                "day and night", "night and day", "round the clock", "around the clock", "all day, every day", "running all day", "run all day",
                "non-stop", "nonstop", "continuous running", "runs continuously", "running continuously",
                "continuous operation", "run continuously", "on all the time", "24/7",
            ],
            &["dauerbetrieb", "rund um die uhr", "tag und nacht", "ununterbrochen", "im dauerlauf", "im dauerbetrieb", "dauerlauf"],
            &["en continu", "jour et nuit", "sans interruption", "marche continue", "24 h/24", "24h/24", "marche permanente", "fonctionnement continu"],
            &["dag en nacht", "continu", "doorlopend", "continu gebruik"],
            &["día y noche", "las 24 horas", "sin parar", "en continuo", "marcha continua", "funcionamiento continuo"],
            &["døgnet rundt", "dag og nat", "døgndrift"],
            &["giorno e notte", "ininterrottamente", "24 ore su 24", "in continuo", "funzionamento continuo"],
        ],
    },
    Row {
        tag: Tag::Hour,
        reach: Reach::Sentence,
        words: [
            &["hours", "hour", "h", "hrs", "hr"],
            &["stunden", "std"],
            &["heures", "heure"],
            &["uur", "uren"],
            &["horas"],
            &["timer"],
            &["ore"],
        ],
    },
    Row {
        tag: Tag::Minutes,
        reach: Reach::Sentence,
        words: [
            &[
                "minutes in the hour", "minutes an hour", "minutes per hour", "minutes of every hour",
                "minutes each hour",
            ],
            &["minuten pro stunde", "minuten je stunde"],
            &["minutes par heure"],
            &["minuten per uur"],
            &["minutos por hora", "minutos cada hora"],
            &["minutter i timen"],
            &["minuti all'ora", "minuti ogni ora"],
        ],
    },
    Row {
        tag: Tag::Daily,
        reach: Reach::Sentence,
        words: [
            &[
                "a day", "a night", "per day", "per night", "each day", "each night", "every day", "every night",
                "daily", "nightly", "/day", "/d", "in the day", "of the day", "overnight", "day", "night",
            ],
            &["am tag", "pro tag", "täglich", "in der nacht", "pro nacht", "je tag", "nachts"],
            &["par jour", "par nuit", "la nuit"],
            &["per dag", "per nacht", "'s nachts"],
            &["al día", "por día", "cada noche", "por noche", "cada día"],
            &["om dagen", "om natten", "i døgnet", "hver nat"],
            &["al giorno", "a notte", "per notte", "ogni notte"],
        ],
    },
    Row {
        tag: Tag::Costs,
        reach: Reach::Sentence,
        words: [
            &["cost", "costs", "bill", "kwh"],
            &["kosten", "kostet", "stromkosten"],
            &["coût", "coûte", "coûts"],
            &["kost", "kosten"],
            &["cuesta", "cuestan", "coste"],
            &["koster", "omkostninger"],
            &["costa", "costi", "costo"],
        ],
    },
    Row {
        tag: Tag::Serves,
        reach: Reach::Sentence,
        words: [
            &[
                "serve", "serves", "aerate", "aerates", "cover", "covers", "treat", "treats", "ponds", "lakes",
                "a pond", "pond size", "size of pond", "pond area", "surface area", "of water", "of lake", "depth",
                "depths", "deep", "deeper", "down", "reach", "reaches", "rated", "suits", "suited", "suitable",
                "goes to", "good to", "good for", "works", "handles", "turns", "circulates", "hang", "hangs",
                "lay", "diffusers at", "discs at", "submergence", "immersion", "is the limit", "is the most", "is its limit",
            ],
            &[
                "belüftet", "teiche", "teich", "seen", "gewässer", "tiefe", "tiefen", "tief", "reicht",
                "wassertiefe", "einsatztiefe", "mindesttiefe", "teichvolumen", "fläche", "teichgröße", "ist die grenze", "sind die grenze", "ist das äußerste",
            ],
            &["étangs", "bassins", "lacs", "mares", "étang", "bassin", "profondeur", "aère", "surface"],
            &["vijvers", "vijver", "plassen", "vijverinhoud", "vijvervolume", "koivijver", "diepte", "diep", "belucht", "oppervlakte"],
            &["estanques", "estanque", "lagos", "charcas", "balsas", "profundidad", "airea", "superficie"],
            &["damme", "dammen", "havedamme", "søer", "søens", "dybde", "dybe", "dyb", "belufter"],
            &["laghetti", "laghetto", "stagni", "laghi", "profondità", "aera", "superficie"],
        ],
    },
    Row {
        tag: Tag::Is,
        reach: Reach::Next,
        words: [
            &["is", "are", "isn't"],
            &["ist", "sind"],
            &["fait", "est"],
            &["is", "zijn"],
            &["tiene", "es"],
            &["er"],
            &["è", "misura"],
        ],
    },
    // How much water there has to be: `minimum depth`, `in water shallower than 3 ft`.
    Row {
        tag: Tag::Least,
        reach: Reach::Ahead,
        words: [
            &["minimum depth", "minimum water depth", "least depth", "minimum water"],
            &["mindesttiefe", "mindestwassertiefe", "mindesttiefe für teller"],
            &["profondeur minimale", "profondeur minimum", "hauteur d'eau minimale"],
            &["minimale diepte", "minimumdiepte", "minimale waterdiepte"],
            &["profundidad mínima"],
            &["mindste dybde", "mindstedybde", "mindst"],
            &["profondità minima"],
        ],
    },
    Row {
        tag: Tag::Shallow,
        reach: Reach::Next,
        words: [
            &["less than", "shallower than", "under", "below", "deeper than"],
            &["unter", "weniger als", "flacher als", "unterhalb von", "tiefer als"],
            &["moins de", "en dessous de", "en dessous d'un", "sous", "plus de"],
            &["minder dan", "ondieper dan", "onder", "dieper dan"],
            &["menos de", "por debajo de", "más de"],
            &["mindre end", "under", "dybere end"],
            &["meno di", "sotto", "più di"],
        ],
    },
    Row {
        tag: Tag::This,
        reach: Reach::Sentence,
        words: [
            &["this page", "this one", "this set", "this kit", "you are here", "ours", "offered", "we offer", "our offer", "our machine", "our set", "our kit"],
            &["diese seite", "dieses set", "dieses gerät", "dieser artikel", "unser", "unsere", "unseres", "wir bieten", "angebot"],
            &["cette page", "ce kit", "cet article", "ce modèle"],
            &["deze pagina", "deze set", "dit artikel", "dit model", "wij bieden"],
            &["esta página", "este equipo", "este modelo", "este artículo"],
            &["denne side", "dette sæt", "denne model"],
            &["questa pagina", "questo kit", "questo modello"],
        ],
    },
    // What a buyer asks for, or somebody else's machine, as a head.
    Row {
        tag: Tag::Wanted,
        reach: Reach::Sentence,
        words: [
            &[
                "asks for", "asked for", "you asked", "we asked", "your requirement", "requirement", "required", "requested", "tender", "specified", "your spec",
                "your enquiry", "client wants", "you want", "demanded", "brand x", "used",
            ],
            &["gefordert", "anforderung", "verlangt"],
            &["exigé", "demandé"],
            &["gevraagd", "eis van"],
            &["solicitado", "exigido"],
            &["krævet", "ønsket"],
            &["richiesto"],
        ],
    },
    // Who has written the post below.
    Row {
        tag: Tag::Wrote,
        reach: Reach::Sentence,
        words: [
            &["wrote", "wrote on", "posted", "posted on", "replied", "joined", "posts", "member since"],
            &["schrieb", "schrieb am", "beiträge", "mitglied seit", "antwortete"],
            &["a écrit", "messages", "inscrit le", "membre depuis"],
            &["schreef", "berichten", "lid sinds"],
            &["escribió", "mensajes", "miembro desde"],
            &["skrev", "indlæg", "medlem siden"],
            &["ha scritto", "messaggi", "iscritto"],
        ],
    },
    Row {
        tag: Tag::Vendor,
        reach: Reach::Sentence,
        words: [
            &["vendor", "dealer", "seller", "trade member", "shop owner"],
            &["händler", "verkäufer", "anbieter", "gewerblich"],
            &["vendeur", "revendeur", "professionnel"],
            &["verkoper", "handelaar", "dealer"],
            &["vendedor", "distribuidor", "tienda"],
            &["forhandler", "sælger"],
            &["venditore", "rivenditore"],
        ],
    },
    // In a cell: it isn't to be so.
    Row {
        tag: Tag::Barred,
        reach: Reach::Sentence,
        words: [
            &["not allowed", "not permitted", "not possible", "not rated"],
            &["nicht zulässig", "nicht erlaubt", "nicht möglich", "unzulässig"],
            &["non autorisé", "interdit", "impossible", "non admis"],
            &["niet toegestaan", "niet mogelijk"],
            &["no permitido", "no admitido", "no es posible"],
            &["ikke tilladt", "ikke muligt"],
            &["non consentito", "non ammesso", "non possibile"],
        ],
    },
    // What a circuit or a switch may carry.
    Row {
        tag: Tag::Carries,
        reach: Reach::Sentence,
        words: [
            &["breaker", "fused", "timer", "time switch", "socket"],
            &["abgesichert", "absicherung", "steckdose", "zeitschaltuhr", "leitungsschutzschalter"],
            &["disjoncteur", "minuterie", "prise"],
            &["stopcontact", "tijdklok", "automaat"],
            &["magnetotérmico", "temporizador", "enchufe"],
            &["kontaktur", "afbryder", "stikkontakt"],
            &["interruttore", "temporizzatore", "presa"],
        ],
    },
    Row {
        tag: Tag::Outside,
        reach: Reach::Next,
        words: [
            &["outside", "outer", "od", "o.d."],
            &["außen", "aussen", "außendurchmesser"],
            &["extérieur", "ext.", "diamètre extérieur"],
            &["buiten", "buitenmaat"],
            &["exterior", "diámetro exterior"],
            &["udvendig", "udv."],
            &["esterno", "diametro esterno"],
        ],
    },
    Row {
        tag: Tag::Names,
        reach: Reach::Sentence,
        words: [
            &["model", "type", "item", "name"],
            &["modell", "typ", "artikel", "bezeichnung"],
            &["modèle", "type", "référence", "désignation"],
            &["model", "type", "artikel"],
            &["modelo", "tipo", "referencia"],
            &["model", "type", "betegnelse"],
            &["modello", "tipo", "articolo"],
        ],
    },
    // `up to 2 acres where the water is 9 ft deep`
    Row {
        tag: Tag::Where,
        reach: Reach::Sentence,
        words: [
            &["where"],
            &["wo"],
            &["où"],
            &["waar"],
            &["donde"],
            &["hvor"],
            &["dove"],
        ],
    },
    Row {
        tag: Tag::Deep,
        reach: Reach::Last,
        words: [
            &["deep"],
            &["tief"],
            &["de profondeur", "de fond"],
            &["diep"],
            &["de profundidad", "de fondo"],
            &["dyb", "dybt"],
            &["di profondità"],
        ],
    },
];

/// What a text says of its hazards. Looked for by itself: `no` and `not` stand in every sentence.
#[rustfmt::skip]
static HAZARDS: &[Row] = &[
    Row {
        tag: Tag::Not,
        reach: Reach::Clause,
        words: [
            &[
                "no", "not", "never", "don't", "don’t", "doesn't", "doesn’t", "needn't", "needn’t", "isn't",
                "isn’t", "aren't", "aren’t", "won't", "won’t", "can't", "can’t", "cannot", "nobody", "no one",
                "none", "neither", "nor", "hardly", "anything but", "far from", "avoid", "refrain", "forbidden",
                "prohibited", "unnecessary", "superfluous", "no longer",
            ],
            &[
                "nicht", "kein", "keine", "keinen", "keinem", "keiner", "keinerlei", "nie", "niemals", "niemand",
                "weder", "unnötig", "überflüssig", "vermeiden", "verboten",
            ],
            &[
                "pas", "jamais", "aucun", "aucune", "nul", "nulle", "ni", "inutile", "évitez", "éviter",
                "interdit", "interdiction", "défense",
            ],
            &["geen", "niet", "nooit", "onnodig", "overbodig", "vermijd", "verboden"],
            &["no", "nunca", "jamás", "ningún", "ninguna", "tampoco", "innecesario", "evite", "evitar", "prohibido"],
            &["ikke", "ingen", "intet", "aldrig", "hverken", "unødvendig", "undgå", "forbudt"],
            &["non", "nessun", "nessuna", "nessuno", "né", "inutile", "evitare", "evitate", "vietato"],
        ],
    },
    Row {
        tag: Tag::Not,
        reach: Reach::Ahead,
        words: [
            &[
                "no need", "needs no", "need no", "requires no", "never needs", "never requires", "not need",
                "don't need", "don’t need", "doesn't need", "doesn’t need", "not require", "doesn't require",
                "doesn’t require", "not necessary to", "not required to",
            ],
            &["braucht kein", "braucht keinen", "braucht keine", "brauchen kein", "brauchen keinen", "brauchen keine",
              "benötigt kein", "benötigt keinen", "benötigt keine", "braucht weder", "nicht nötig"],
            &["pas besoin", "aucun besoin", "n'exige pas", "n’exige pas", "n'exige aucun", "n’exige aucun"],
            &["heeft geen", "hebt geen", "niet nodig"],
            &["no necesita", "no hace falta", "no requiere"],
            &["behøver ikke", "behøver ingen", "kræver ingen", "kræver ikke"],
            &["non serve", "non servono", "non occorre", "non richiede", "non c'è bisogno", "non c’è bisogno"],
        ],
    },
    Row {
        tag: Tag::Not,
        reach: Reach::Last,
        words: [
            &[
                "not needed", "never needed", "not required", "never required", "not necessary", "never necessary",
                "isn't needed", "isn’t needed", "isn't required", "isn’t required", "isn't necessary",
                "isn’t necessary", "not be needed", "unnecessary", "unneeded", "superfluous", "needless",
                "only trips", "just trips", "keeps tripping", "always trips", "nuisance", "overkill", "a waste",
                "no use", "useless", "must not", "may not", "never", "forbidden", "prohibited", "not allowed", "not permitted"
            ],
            &[
                "nicht nötig", "nicht notwendig", "nicht erforderlich", "nicht gebraucht", "nicht benötigt",
                "nicht vorgeschrieben", "nie nötig", "nie erforderlich", "unnötig", "überflüssig", "entbehrlich",
                "löst nur", "löst ständig", "löst dauernd", "fliegt nur", "fliegt ständig", "verboten", "untersagt",
                "brauchen sie nicht", "braucht man nicht", "braucht es nicht", "braucht er nicht", "braucht sie nicht",
                "nicht", "nie", "niemals",
            ],
            &[
                "pas nécessaire", "pas requis", "pas obligatoire", "jamais nécessaire", "inutile", "superflu",
                "interdit", "interdite", "pas", "jamais", "ne fait que",
            ],
            &[
                "niet nodig", "niet vereist", "niet verplicht", "nooit nodig", "onnodig", "overbodig", "verboden",
                "niet", "nooit", "slaat alleen", "slaat steeds",
            ],
            &[
                "no es necesario", "no es necesaria", "no hace falta", "innecesario", "innecesaria", "superfluo",
                "prohibido", "no es", "nunca es", "solo salta", "sólo salta",
            ],
            &[
                "ikke nødvendig", "ikke nødvendigt", "ikke påkrævet", "unødvendig", "unødvendigt", "overflødig",
                "overflødigt", "forbudt", "ikke", "aldrig", "slår kun", "slår bare",
            ],
            &[
                "non è necessario", "non è necessaria", "non serve", "non occorre", "inutile", "superfluo",
                "vietato", "non è", "non è mai", "scatta solo", "scatta sempre",
            ],
        ],
    },
    Row {
        tag: Tag::Without,
        reach: Reach::Clause,
        words: [
            &[
                "without", "instead of", "rather than", "forget", "skip", "omit", "bypass", "remove", "disable",
                "save the cost of", "save yourself",
            ],
            &["ohne", "statt", "anstatt", "sparen sie sich"],
            &["sans", "au lieu de", "oubliez", "oublier"],
            &["zonder", "in plaats van", "vergeet"],
            &["sin", "en vez de", "en lugar de", "olvide", "olvidar"],
            &["uden", "i stedet for", "glem"],
            &["senza", "invece di", "dimenticare", "dimenticate"],
        ],
    },
    Row {
        tag: Tag::Without,
        reach: Reach::Last,
        words: [
            &["bypassed", "omitted", "left out", "left off", "skipped", "forgotten", "removed", "disabled"],
            &[
                "verzichten", "weglassen", "weggelassen", "überbrücken", "überbrückt", "umgehen", "umgangen",
                "vergessen", "sparen",
            ],
            &["omis", "oublié", "ponté"],
            &["weglaten", "weggelaten", "overbrugd", "overbruggen", "vergeten"],
            &["omitirse", "puentear", "puenteado"],
            &["udelades", "udelade", "omgås"],
            &["omesso", "escluso", "ponticellato"],
        ],
    },
    Row {
        tag: Tag::Unless,
        reach: Reach::Clause,
        words: [
            &["unless", "if no", "if there is no", "if there isn't", "if there isn’t", "where there is no", "if you have no", "if not", "not only"],
            &[
                "es sei denn", "wenn kein", "wenn keine", "falls kein", "falls keine", "wenn nicht", "falls nicht",
                "sofern nicht", "nicht nur", "sofern kein",
            ],
            &["à moins", "s'il n'y a pas", "s’il n’y a pas", "non seulement"],
            &["tenzij", "als er geen", "als geen", "indien geen", "niet alleen"],
            &["a menos que", "si no", "salvo que", "no solo", "no sólo"],
            &["medmindre", "hvis der ikke", "hvis der ingen", "hvis ikke", "ikke kun", "ikke bare"],
            &["a meno che", "se non", "non solo", "mai senza"],
        ],
    },
    Row {
        tag: Tag::Contrast,
        reach: Reach::Ahead,
        words: [
            &["but", "however"],
            &["sondern", "aber", "jedoch"],
            &["mais"],
            &["maar"],
            &["sino", "pero"],
            &["men"],
            &["bensì"],
        ],
    },
    Row {
        tag: Tag::Device,
        reach: Reach::Sentence,
        words: [
            &[
                "gfci", "gfcis", "gfi", "gfis", "ground fault", "ground-fault", "rcd", "rcds", "residual current",
                "residual-current", "rcbo", "rcbos", "elcb",
            ],
            &[
                "fi-schutzschalter", "fi-schutzschalters", "fi-schalter", "fi-schalters", "fi-schutz",
                "fehlerstrom", "fehlerstromschutz", "fehlerstromschutzschalter", "fehlerstromschutzschalters",
                "fehlerstromschutzeinrichtung", "fehlerstromschutzeinrichtungen", "fehlerstromschalter",
            ],
            &["différentiel", "différentielle", "différentiels", "différentielles", "ddr"],
            &["aardlekschakelaar", "aardlekschakelaars", "aardlekautomaat", "aardlekbeveiliging", "aardlek"],
            &["diferencial", "diferenciales"],
            &["hpfi", "hpfi-relæ", "hfi-relæ", "fejlstrømsafbryder", "fejlstrømsrelæ", "fejlstrømsbeskyttelse"],
            &["salvavita", "differenziale", "differenziali"],
        ],
    },
    Row {
        tag: Tag::Person,
        reach: Reach::Sentence,
        words: [
            &[
                "electrician", "electricians", "electrical code", "electrical codes", "local code", "local codes",
                "wiring rules", "wiring regulations", "wiring code", "building code", "building codes",
                "electrical contractor",
            ],
            &[
                "elektriker", "elektrikers", "elektrikerin", "elektrofachkraft", "elektrofachkräfte",
                "elektrofachkräften", "elektrofachbetrieb", "elektroinstallateur", "elektroinstallateurs",
                "elektrofachmann",
            ],
            &["électricien", "électriciens", "électricienne"],
            &["elektricien", "elektriciens", "elektromonteur"],
            &["electricista", "electricistas"],
            &["elektriker", "elektrikeren", "elinstallatør", "el-installatør"],
            &["elettricista", "elettricisti"],
        ],
    },
    Row {
        tag: Tag::Ice,
        reach: Reach::Sentence,
        words: [
            &["ice"],
            &["eis", "eises", "eisfläche", "eisflächen", "eisdecke", "eisschicht"],
            &["glace"],
            &["ijs", "ijslaag", "ijsvlakte", "ijsvloer"],
            &["hielo"],
            &["isen", "islag", "islaget", "isflade", "isfladen", "isdækket"],
            &["ghiaccio"],
        ],
    },
    Row {
        tag: Tag::Peril,
        reach: Reach::Sentence,
        words: [
            &[
                "thin", "thins", "thinner", "thinned", "weak", "weaker", "weaken", "weakens", "weakened", "danger",
                "dangers", "dangerous", "unsafe", "stay off", "keep off", "keep everybody off", "keep everyone off",
                "keep people off", "off the ice", "off it", "caution", "warning", "fall through", "falls through",
                "break through", "breaks through", "hazard", "hazardous", "treacherous",
            ],
            &[
                "dünn", "dünne", "dünner", "dünnem", "dünnes", "gefahr", "gefahren", "gefährlich", "lebensgefahr",
                "lebensgefährlich", "einbruch", "einbruchgefahr", "einbrechen", "einbricht", "brüchig",
            ],
            &["mince", "minces", "fragile", "danger", "dangers", "dangereux", "dangereuse"],
            &["dun", "dunne", "dunner", "gevaar", "gevaarlijk", "zwak", "onveilig"],
            &["delgado", "delgada", "fino", "fina", "frágil", "débil", "peligro", "peligroso", "peligrosa"],
            &["tynd", "tyndt", "tynde", "tyndere", "fare", "farlig", "farligt", "svag", "usikker", "usikre"],
            &["sottile", "fragile", "debole", "pericolo", "pericoloso", "pericolosa"],
        ],
    },
    Row {
        tag: Tag::Tread,
        reach: Reach::Sentence,
        words: [
            &[
                "walk", "walks", "walking", "walked", "step", "stepping", "tread", "skate", "skating", "trust",
                "trusted", "venture", "stand on", "go on", "go onto", "bears",
            ],
            &["betreten", "betritt", "begehen", "begehbar", "tragfähig", "trägt", "schlittschuh"],
            &["marcher", "marchez", "patiner", "aventurer"],
            &["lopen", "loop", "betreden", "schaatsen"],
            &["caminar", "camine", "pisar", "pise", "patinar", "andar"],
            &["gå", "betræde", "betræd", "betrædes", "færdes", "skøjte"],
            &["camminare", "camminate", "calpestare", "pattinare"],
        ],
    },
    Row {
        tag: Tag::Safe,
        reach: Reach::Sentence,
        words: [
            &["safe", "safely", "harmless"],
            &["sicher", "sicheres", "gefahrlos", "bedenkenlos", "ungefährlich"],
            &["en toute sécurité", "sûr", "sûre"],
            &["veilig"],
            &["seguro", "segura", "con seguridad"],
            &["sikkert", "sikker", "trygt"],
            &["sicuro", "sicura", "in sicurezza"],
        ],
    },
    Row {
        tag: Tag::Winter,
        reach: Reach::Sentence,
        words: [
            &[
                "winter", "winters", "winterize", "winterise", "winterized", "winterised", "wintertime", "wintering",
                "ice", "ice-free", "frozen", "freeze", "freezes", "freezing", "frost", "frosts", "frosty",
            ],
            &[
                "winters", "winterbetrieb", "wintertauglich", "winterfest", "eis", "eises", "eisfrei", "eisfreie",
                "eisfreien", "eisfreies", "eisfreihalter", "eisdecke", "eisfläche", "gefriert", "gefrieren",
                "zufrieren", "zufriert", "einfrieren", "friert", "zugefroren", "frostfrei", "frosts", "vereist",
            ],
            &["hiver", "hivers", "gèle", "gèlent", "geler", "le gel", "du gel", "hors gel", "hors-gel", "glace", "gelé"],
            &["ijs", "ijsvrij", "vriest", "bevriest", "bevriezen", "bevroren", "dichtvriezen", "dichtvriest", "vorst", "vorstvrij"],
            &["invierno", "inviernos", "hielo", "hiela", "helada", "heladas", "congela", "congelarse", "congelado"],
            &["vinter", "vinteren", "vinterdrift", "isen", "isfri", "isfrit", "isfrie", "fryser", "fryse", "tilfrosset", "tilfryser"],
            &["inverno", "inverni", "ghiaccio", "ghiaccia", "ghiacciare", "gela", "gelo", "congela", "congelare"],
        ],
    },
    Row {
        tag: Tag::Staged,
        reach: Reach::Sentence,
        words: [
            &[
                "first day", "day one", "day 1", "first week", "an hour the first", "minutes the first",
                "start-up procedure", "startup procedure", "increase each day", "doubling each day",
                "double each day", "double the time", "doubling the time", "run time each day", "short periods", "hour tomorrow", "twice as long each day", "longer each day", "a little longer", "second day", "minutes at first",
                "staged start",
            ],
            &["am ersten tag", "ersten tag", "erster tag", "erste woche", "ersten woche", "täglich verdoppeln", "täglich länger", "zweiten tag", "jeden tag länger", "jeden tag verdoppeln", "jeden tag doppelt"],
            &["premier jour", "première semaine", "jour 1", "doublez chaque jour", "deuxième jour", "le lendemain"],
            &["eerste dag", "eerste week", "elke dag langer", "dag 1", "tweede dag", "elke dag verdubbelen"],
            &["primer día", "primera semana", "cada día más", "día 1", "segundo día", "al día siguiente"],
            &["første dag", "første uge", "hver dag længere", "dag 1", "anden dag", "næste dag"],
            &["primo giorno", "prima settimana", "ogni giorno di più", "giorno 1", "secondo giorno", "il giorno dopo"],
        ],
    },
    Row {
        tag: Tag::Slowly,
        reach: Reach::Sentence,
        words: [
            &["slowly", "gradually", "in stages", "by stages", "step by step", "little by little"],
            &["langsam", "stufenweise", "schrittweise", "allmählich", "nach und nach"],
            &["lentement", "progressivement", "par étapes", "petit à petit", "peu à peu"],
            &["langzaam", "geleidelijk", "stapsgewijs", "stap voor stap"],
            &["despacio", "lentamente", "gradualmente", "poco a poco", "por etapas"],
            &["langsomt", "gradvist", "gradvis", "trinvist", "lidt efter lidt"],
            &["lentamente", "gradualmente", "per gradi", "a poco a poco", "poco alla volta"],
        ],
    },
    Row {
        tag: Tag::Time,
        reach: Reach::Sentence,
        words: [
            &["minute", "minutes", "min", "hour", "hours", "h", "day", "days", "daily", "week", "run time", "start", "begin"],
            &["minute", "minuten", "stunde", "stunden", "tag", "tage", "tagen", "täglich", "woche", "laufzeit", "beginnen", "anfangen"],
            &["minute", "minutes", "heure", "heures", "jour", "jours", "semaine", "démarrez", "commencez", "démarrage"],
            &["minuut", "minuten", "uur", "dag", "dagen", "week", "begin", "start"],
            &["minuto", "minutos", "hora", "horas", "día", "días", "semana", "empiece", "comience"],
            &["minut", "minutter", "time", "timer", "dag", "dage", "uge", "begynd"],
            &["minuto", "minuti", "ora", "ore", "giorno", "giorni", "settimana", "iniziare", "iniziate", "cominciare"],
        ],
    },
    Row {
        tag: Tag::Burns,
        reach: Reach::Sentence,
        words: [
            &["burn", "burns", "hot surface", "hot surfaces", "gets hot", "get hot", "is hot", "too hot to touch"],
            &["verbrennung", "verbrennungen", "verbrennungsgefahr", "heiß", "heiße", "heißen", "heißer", "heisse", "heiss"],
            &["brûlure", "brûlures", "brûlant", "brûlante", "très chaud"],
            &["verbranding", "brandwonden", "heet", "hete"],
            &["quemadura", "quemaduras", "muy caliente"],
            &["forbrænding", "forbrændinger", "varm overflade", "meget varm"],
            &["ustione", "ustioni", "scottature", "molto caldo", "superficie calda"],
        ],
    },
];

/// Numbers as words, up to a day's hours.
const NUMBERS: &[(f64, &[&str])] = &[
    (1.0, &["one", "eine", "une", "een", "una", "en"]),
    (2.0, &["two", "zwei", "deux", "twee", "dos", "to", "due"]),
    (3.0, &["three", "drei", "trois", "drie", "tres", "tre"]),
    (
        4.0,
        &["four", "vier", "quatre", "cuatro", "fire", "quattro"],
    ),
    (
        5.0,
        &["five", "fünf", "cinq", "vijf", "cinco", "fem", "cinque"],
    ),
    (6.0, &["six", "sechs", "zes", "seis", "seks", "sei"]),
    (
        7.0,
        &["seven", "sieben", "sept", "zeven", "siete", "syv", "sette"],
    ),
    (8.0, &["eight", "acht", "huit", "ocho", "otte", "otto"]),
    (
        9.0,
        &["nine", "neun", "neuf", "negen", "nueve", "ni", "nove"],
    ),
    (10.0, &["ten", "zehn", "dix", "tien", "diez", "ti", "dieci"]),
    (
        12.0,
        &[
            "twelve", "zwölf", "douze", "twaalf", "doce", "tolv", "dodici",
        ],
    ),
    (
        16.0,
        &[
            "sixteen",
            "sechzehn",
            "seize",
            "zestien",
            "dieciséis",
            "seksten",
            "sedici",
        ],
    ),
    (
        18.0,
        &[
            "eighteen",
            "achtzehn",
            "dix-huit",
            "achttien",
            "dieciocho",
            "atten",
            "diciotto",
        ],
    ),
    (
        24.0,
        &[
            "twenty-four",
            "vierundzwanzig",
            "vingt-quatre",
            "vierentwintig",
            "veinticuatro",
            "fireogtyve",
            "ventiquattro",
        ],
    ),
];

/// Languages whose words stand here.
pub(super) const LANGUAGES: [&str; 7] = ["en", "de", "fr", "nl", "es", "da", "it"];

/// The number that a word is, or that its figures write.
pub(super) fn number(word: &str) -> Option<f64> {
    let small = word.to_lowercase();
    NUMBERS
        .iter()
        .find(|(_, words)| words.contains(&small.as_str()))
        .map(|(number, _)| *number)
        .or_else(|| small.replace(',', ".").parse().ok())
}

/// Words that were found in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Hit {
    pub(super) tag: Tag,
    pub(super) reach: Reach,
    /// Its language, by its place in [`LANGUAGES`].
    pub(super) language: usize,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// One phrase of a row.
struct Phrase {
    text: &'static str,
    row: &'static Row,
    language: usize,
    /// The next one that begins with the same word.
    next: Option<usize>,
}

/// All phrases of some rows, by the word that each begins with: a phrase is only looked for where that word stands.
struct Index {
    all: Vec<Phrase>,
    first: WordMap<Option<usize>>,
}

impl Index {
    fn of(rows: &'static [Row]) -> Index {
        let mut phrases = Index {
            all: Vec::new(),
            first: WordMap::default(),
        };
        for row in rows {
            for (language, words) in row.words.iter().enumerate() {
                for text in *words {
                    phrases.put(text, row, language);
                }
            }
        }
        phrases
    }

    fn put(&mut self, text: &'static str, row: &'static Row, language: usize) {
        // What begins with a sign (`/day`) is kept by the sign and the word behind it.
        let end = stretches(text).next().map_or(text.len(), |word| word.end);
        let first = self.first.entry(Word::at(text, 0, end));
        self.all.push(Phrase {
            text,
            row,
            language,
            next: first.replace(self.all.len()),
        });
    }

    /// The phrases that begin with the stretch `first` of a text.
    fn at(&self, text: &str, first: Range<usize>, hits: &mut Vec<Hit>) {
        let known = self.first.get(Word::at(text, first.start, first.end));
        let mut next = known.copied().flatten();
        while let Some(phrase) = next.and_then(|number| self.all.get(number)) {
            next = phrase.next;
            let Some(length) = begins(&text[first.start..], phrase.text) else {
                continue;
            };
            let (start, end) = (first.start, first.start + length);
            if is_whole(text, start..end) {
                hits.push(Hit {
                    tag: phrase.row.tag,
                    reach: phrase.row.reach,
                    language: phrase.language,
                    start,
                    end,
                });
            }
        }
    }

    fn hits(&self, text: &str) -> Vec<Hit> {
        let mut hits = Vec::new();
        for word in stretches(text) {
            let sign = text[..word.start].chars().next_back();
            if let Some(sign) = sign.filter(|sign| !sign.is_whitespace()) {
                self.at(text, word.start - sign.len_utf8()..word.end, &mut hits);
            }
            self.at(text, word, &mut hits);
        }
        // Of one stretch the last row was found first.
        hits.reverse();
        hits.sort_by_key(|hit| (hit.start, hit.end));
        hits.dedup();
        hits
    }
}

/// How many bytes of a text a phrase in small letters is, where the text begins with it, whatever its capitals.
fn begins(text: &str, phrase: &str) -> Option<usize> {
    let bytes = text.as_bytes().get(..phrase.len());
    if bytes.is_some_and(|bytes| bytes.eq_ignore_ascii_case(phrase.as_bytes())) {
        return Some(phrase.len());
    }
    let mut written = text.chars();
    let is_same = |small: char| {
        let next = written.next();
        next.is_some_and(|c| c.to_lowercase().eq(std::iter::once(small)))
    };
    let begins = phrase.chars().all(is_same);
    begins.then(|| text.len() - written.as_str().len())
}

/// All words of the lexicon in a text that begin and end with words of it.
pub(super) fn hits(text: &str) -> Vec<Hit> {
    static PHRASES: LazyLock<Index> = LazyLock::new(|| Index::of(ROWS));
    PHRASES.hits(text)
}

/// All words of a text that tell of hazards, and that say they aren't so.
pub(super) fn hazards(text: &str) -> Vec<Hit> {
    static PHRASES: LazyLock<Index> = LazyLock::new(|| Index::of(HAZARDS));
    PHRASES.hits(text)
}

/// Whether the head of a column says that conditions stand under it.
pub(super) fn heads_conditions(head: &str) -> bool {
    let head = head.trim_matches(|c: char| !c.is_alphanumeric());
    // `bei mbar`, `at depth (ft)`
    let is_under = head.split_once(' ').is_some_and(|(first, rest)| {
        let next = stretches(rest).next().map_or("", |word| &rest[word]);
        holding::introduces(Word::read(first))
            && (unit_words::whole(rest).is_some()
                || matches!(
                    vocabulary::topic(next),
                    Some(Topic::Depth | Topic::Pressure)
                ))
    });
    is_under
        || hits(head)
            .iter()
            .any(|hit| hit.tag == Tag::Conditions && hit.start == 0)
}

/// Whether a head is nothing but a phrase of this tag, with or without its number: `7. Spare parts`.
fn is_all(head: &str, tag: Tag) -> bool {
    let head = head.trim_matches(|c: char| !c.is_alphabetic());
    hits(head)
        .iter()
        .any(|hit| hit.tag == tag && (hit.start, hit.end) == (0, head.len()))
}

/// Whether a text holds a phrase of this tag.
pub(super) fn says(text: &str, tag: Tag) -> bool {
    hits(text).iter().any(|hit| hit.tag == tag)
}

/// Whether a cell says that what its row names isn't to be.
pub(super) fn bars(cell: &str) -> bool {
    is_all(cell, Tag::Barred)
}

/// Whether the head of a column says that remarks stand under it.
pub(super) fn heads_remarks(head: &str) -> bool {
    is_all(head, Tag::Remarks)
}

/// Who has written a post, as the line above it says with a day, or in words.
pub(super) fn author(line: &str) -> Option<&str> {
    const LONGEST: usize = 110;
    let line = line.trim_start();
    if line.len() > LONGEST || !line.starts_with(char::is_alphabetic) {
        return None;
    }
    let wrote = hits(line).into_iter().find(|hit| hit.tag == Tag::Wrote);
    // `07.05.2025, 08:02`
    let is_clock = |word: &str| {
        let digits = word.bytes().filter(u8::is_ascii_digit).count();
        word.contains(':') && digits == 4 && word.len() == 5
    };
    if wrote.is_none() && !line.split([' ', ',']).any(is_clock) {
        return None;
    }
    let end = line.find(['(', '–', '—', ',', ':']).unwrap_or(line.len());
    let end = wrote.map_or(end, |hit| end.min(hit.start));
    let name = line.get(..end)?.trim();
    (!name.is_empty()).then_some(name)
}

/// Whether the name of what a row sells begins as that of a part or of work does.
pub(super) fn names_a_part(name: &str) -> bool {
    // `Diffuser, 8 in`, and no `diffuser set`
    let word = stretches(name).next().map_or(0, |word| word.end);
    let is_part = matches!(
        name.get(..word).and_then(vocabulary::topic),
        Some(Topic::Diffuser | Topic::Body | Topic::Line | Topic::Fitting | Topic::Cord)
    );
    is_part && name[word..].starts_with(',')
        || hits(name).iter().any(|hit| {
            let spares = name
                .get(hit.start..hit.end)
                .is_some_and(|word| word.eq_ignore_ascii_case("spare"));
            hit.tag == Tag::Spare && (hit.start == 0 || spares)
        })
}

/// Whether a head is nothing but words over a list of parts.
pub(super) fn heads_parts(head: &str) -> bool {
    is_all(head, Tag::Spares)
}

/// Whether the head of a column says that names of things stand under it.
pub fn heads_names(head: &str) -> bool {
    is_all(head, Tag::Names)
}

/// Whether a heading heads a part of any page and names no thing for sale: it is nothing but such words.
pub fn names_no_thing(heading: &str) -> bool {
    is_all(heading, Tag::Section)
}

/// Whether a heading stands over what is said of others: other goods, a rival's, a customer's water.
pub fn heads_others(heading: &str) -> bool {
    let of_others = [Tag::Other, Tag::Rival, Tag::Customer, Tag::Story];
    hits(heading).iter().any(|hit| of_others.contains(&hit.tag))
}

/// Whether a stretch begins and ends where words do.
fn is_whole(text: &str, at: Range<usize>) -> bool {
    // `{{#if}}` is a template's.
    let inside = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '#');
    let begins = text[at.start..]
        .chars()
        .next()
        .is_some_and(char::is_alphanumeric);
    let ends = text[..at.end].chars().next_back();
    let ends_in_letter = ends.is_some_and(char::is_alphabetic);
    let is_part = begins && inside(text[..at.start].chars().next_back())
        || ends_in_letter && inside(text[at.end..].chars().next());
    !is_part
}

/// Words before a figure that bound it.
#[rustfmt::skip]
pub(super) static BEFORE: &[(Comparator, &[&str])] = &[
    (Comparator::AtMost, &[
        "ne dépasse pas", "ne dépassant pas", "nicht mehr als", "no supera", "no supera los", "no más de", "non supera", "non più di",
        "never above", "ten hoogste", "hoogstens", "højst", "jamais plus de", "nunca más de", "mai oltre", "niet meer dan", "ikke mere end", "pas plus de", "up to and including", "up to about", "up to a maximum of", "up to a full", "up to a",
        "up to an", "up to", "upto", "as much as", "as deep as", "as large as", "as big as", "as long as", "as far down as", "as far as",
        "can reach", "as high as", "as many as", "at most", "a maximum of", "maximum of", "max of", "maximum", "max.", "max", "maximal", "within",
        "limited to", "limit of", "limit is", "limit", "capped at", "tops out at", "maxes out at", "no further than", "no farther than",
        "to a maximum of", "to a depth of", "maximale", "maximaal", "máximo", "greatest", "höchstdruck", "down to", "bis zu einer tiefe von",
        "bis zu", "bis in", "bis auf", "bis", "höchstens", "unter", "weniger als", "jusqu'à", "jusqu’à", "hasta", "tot", "≤", "<", "at the most",
        "well under", "just under", "just shy of", "shy of", "a shade under", "a touch under", "a hair under", "nothing over", "nothing deeper than",
        "nothing larger than", "nothing bigger than", "bis maximal", "bis max.", "moins de", "minder dan", "op til", "indtil", "højst", "pmax",
        "p max", "p max.", "ceiling of", "menos de", "meno di", "fino a", "fino ad", "hooguit", "hoogstens", "t/m", "ned til", "al máximo",
        "al massimo", "au maximum", "au plus", "máxima", "máxima de", "máximo de", "máx.", "massima", "massimo", "massima di", "maks.", "maks",
        "maksimalt", "maximale de", "maximum de", "mindre end",
    ]),
    (Comparator::AtLeast, &[
        "dès", "desde", "a partir de", "oltre", "at least", "a minimum of", "minimum of", "minimum", "min.", "min", "in excess of", "upwards of",
        "starting at", "starting from", "starts at", "as little as", "as low as", "as few as", "from", "mindestens", "mehr als", "über", "ab", "≥",
        ">", "at the least", "a shade over", "a touch over", "well over", "just over", "north of", "upward of", "a good", "plus de", "meer dan",
        "gut", "à partir de", "vanaf", "mindst", "por lo menos", "al menos", "como mínimo", "almeno", "minstens", "ten minste", "au moins", "más de",
        "più di", "mere end",
    ]),
    (Comparator::About, &[
        "not quite", "call it", "in the region of", "in the neighborhood of", "in the neighbourhood of", "on the order of", "reckon on", "figure on",
        "or about", "something like", "somewhere around", "ungefähr", "ongeveer", "approximately", "approx.", "approx", "about", "around", "roughly",
        "nearly", "almost", "close to", "typically", "some", "an estimated", "estimated at", "an average of", "on average", "averages", "averaging",
        "circa", "ca.", "ca", "etwa", "rund", "environ", "~", "'bout", "’bout", "is like", "more like", "round about", "the better part of",
        "give or take", "zo'n", "knapp", "alrededor de", "aproximadamente", "unos", "unas", "cirka", "omkring", "comptez", "reken op", "autour de",
        "rond", "≈",
    ]),
];

/// Words behind a figure that bound it, and begin with a letter that [`super::conditions`] looks for.
#[rustfmt::skip]
pub(super) static AFTER: &[(Comparator, &[&str])] = &[
    (Comparator::AtMost, &[
        "maximum", "max", "or less", "or smaller", "or under", "or shallower", "and under", "and smaller", "or below", "or fewer", "at most",
        "at the most", "at the very most", "at the outside", "at the deepest", "at its deepest", "at the utmost", "at the largest", "at the longest",
        "and no more", "and not an inch more", "and no deeper", "and no further", "and not an inch further", "is the limit", "is its limit",
        "is the most", "maximal", "höchstens", "nicht überschreiten", "not to be exceeded", "niet overschrijden", "no superar", "au maximum",
        "au plus", "hooguit", "at max", "tops", "or lower", "or quieter", "and less", "and below",
    ]),
    (Comparator::AtLeast, &[
        "at the very least", "at the least", "upwards", "and upwards", "oder mehr", "at least", "at minimum", "and over", "or over", "or above",
        "or greater", "and deeper", "and larger", "minimum", "min.", "min", "or more", "or deeper", "or larger", "or better", "and up", "and above",
        "and more", "+",
    ]),
    (Comparator::About, &[
        "near enough", "roughly", "or thereabouts", "thereabouts", "or thereabout", "more or less", "ish", "-ish", "approximately", "approx",
        "or so", "give or take",
    ]),
];

/// Words that may stand between a bound and its figure.
#[rustfmt::skip]
pub(super) static ARTICLES: &[&str] = &[
    " a", " an", " the", " just", " only", " approximately", " roughly", " about", " some", " a full", " einer tiefe von", " a depth of",
    " depths of", " to", " in", " of",
];

/// Words that end a comparison which bounds: see [`compared_at_end`].
#[rustfmt::skip]
pub(super) static COMPARING: &[&str] = &[
    "than", "als", "dan", "que", "end", "over", "above", "exceed", "exceeds", "exceeding", "beyond", "past", "below", "beneath", "under",
];

/// Words that bound a figure before them as well as one behind.
#[rustfmt::skip]
pub(super) static BOTH_WAYS: &[&str] = &[
    "max", "maximum", "maximal", "min", "min.", "minimum", "approx", "approximately", "roughly", "at least", "at most", "tops",
];

/// How hours in each day are written, after their number.
#[rustfmt::skip]
pub(super) static DAILY: &[&str] = &[
    "hours a day", "hours per day", "hours each day", "h/day", "hrs/day", "h per day", "h a day", "hours/day", "hours daily", "hrs a day",
    "hr a day", "hrs. a day", "h/d", "hr/day", "stunden am tag", "stunden pro tag", "h am tag", "h täglich", "hrs per day", "hours every day",
    "h daily",
];

/// What may stand between money and what it is paid for, in this order.
#[rustfmt::skip]
pub(super) static FILLS: &[&str] = &[
    "in electricity ", "of electricity ", "worth of electricity ", "of power ", "in power ", "to run ", "total ", "(usd) ", "electricity ",
];

/// What marks a period.
#[rustfmt::skip]
pub(super) static MARKS: &[&str] = &[
    "per ", "each ", "every ", "an ", "a ", "/ ", "/", "pro ", "je ", "im ", "par ", "al ", "all'", "all’", "om ", "i ", "le ", "el ", "pr. ",
    "por ", "am ", "a single ", "one ",
];

/// Periods that no mark stands before.
#[rustfmt::skip]
pub(super) static ADVERBS: &[&str] = &[
    "hourly", "daily", "monthly", "yearly", "annually", "weekly", "täglich", "jährlich", "monatlich",
];

/// Words of a head over what held before, where another head says what holds now.
#[rustfmt::skip]
pub(super) const OLD: &[Word] = words![
    "old", "until", "before", "previous", "previously", "former", "was", "bisher", "alt", "vorher", "oud", "ancien", "superseded", "withdrawn",
];

/// Words of a head over what holds now.
#[rustfmt::skip]
pub(super) const NEW: &[Word] = words![
    "new", "now", "current", "after", "neu", "jetzt", "künftig", "nieuw", "nouveau", "from", "revised", "updated", "corrected", "is",
];

/// Heads over the second of two columns, where the first holds names.
#[rustfmt::skip]
pub(super) static VALUES: &[&str] = &[
    "value", "values", "data", "specification", "spec", "specs", "details", "detail", "wert", "werte", "daten", "valeur", "waarde", "valor",
    "rating", "figure", "description", "every", "interval", "amount",
];

/// Heads over units.
#[rustfmt::skip]
pub(super) static UNITS: &[&str] = &[
    "unit", "units", "uom", "einheit", "einheiten", "unité", "unités", "eenheid", "eenheden", "unidad", "enhed", "unit of measure", "measured in",
    "si unit", "dim",
];

/// Parts of words in labels of running costs.
#[rustfmt::skip]
pub(super) static RUNS: &[&str] = &[
    "run", "cost", "electric", "energy", "power", "strom", "kosten", "betrieb", "operat", "strøm", "drift", "coût", "coste", "costo", "stroom",
    "électric", "consommation",
];

/// What a label of costs in a period begins with.
#[rustfmt::skip]
pub(super) static PERIODS: &[&str] = &[
    "a month", "a year", "a day", "one month", "monthly", "yearly", "daily", "per year", "per month", "per day", "pro jahr", "pro monat", "im jahr",
    "im monat", "par an", "par mois", "per jaar", "per maand", "al año", "al mes", "om året", "om måneden", "all'anno", "al mese",
];

/// Words of British English, or of things that only Britain calls so.
#[rustfmt::skip]
pub(super) static BRITISH: &[&str] = &[
    "mains", "postcode", "postcodes", "vat", "rcd", "carriage", "metre", "metres", "litre", "litres", "colour", "whilst", "pence", "aluminium",
    "centre", "neighbour", "neighbours", "grey", "licence", "guarantee", "koi", "bsp", "earth", "enquiries", "plc",
];

/// Units that only one custom has.
#[rustfmt::skip]
pub(super) static US: &[&str] = &[
    "ft", "feet", "acre", "acres", "psi", "gallons", "gpm", "cfm", "115v", "inch",
];

/// Units that only metric custom has.
#[rustfmt::skip]
pub(super) static METRIC: &[&str] = &[
    "m", "kpa", "mbar", "m2", "m²", "m³", "230v", "litres", "ha", "metres", "mm",
];

/// Words of Canada, Australia and New Zealand.
#[rustfmt::skip]
pub(super) static DOLLARS: [&[&str]; 3] = [
    &["canada", "canadian", "cad", "ontario", "québec", "quebec", "alberta", "manitoba", "saskatchewan", "hst", "pst", "csa"],
    &["australia", "australian", "aud", "queensland", "nsw"],
    &["zealand", "nz", "nzd"],
];

/// Words that only running text of a language has.
#[rustfmt::skip]
pub(super) static RUNNING: &[(&str, &[&str])] = &[
    ("en", &["the", "and", "with", "for", "your", "is", "of", "to", "at"]),
    ("de", &["und", "der", "die", "das", "mit", "für", "ist", "bei", "pro", "bis", "im", "eine", "nicht", "wasser", "teich", "teiche", "leistung", "tiefe", "luft"]),
    ("fr", &["le", "la", "les", "et", "avec", "pour", "est", "une", "des", "jusqu", "dans", "du"]),
    ("es", &["el", "los", "con", "para", "una", "las", "hasta", "del", "por", "que", "es"]),
    ("nl", &["het", "een", "met", "voor", "van", "tot", "niet", "zijn", "op"]),
    ("it", &["il", "con", "per", "una", "gli", "della", "fino", "che", "di"]),
    ("da", &["og", "ved", "til", "ikke", "på", "af", "er", "den", "som", "søen", "dybde"]),
];

/// Parts of headings over what the page offers beside its thing.
#[rustfmt::skip]
pub(super) static BESIDE: &[&str] = &[
    "also like", "also near", "also looked", "also read", "also this week", "also on offer", "elsewhere in the shop", "other listings",
    "also bought", "also viewed", "also interest", "bought together", "goes well with", "related", "recently viewed", "recommended for you",
    "more from", "other products", "similar products", "review", "testimonial", "customers say", "what people say", "kundenmeinung", "bewertung",
    "kunden kauften", "auch gekauft", "ähnliche artikel", "klantbeoordeling", "avis clients", "your cart", "your basket", "shipping", "delivery",
    "versand", "returns", "livraison", "verzending",
];

/// What a bound of water is said of.
#[rustfmt::skip]
pub(super) static WATERS: &[&str] = &[
    "pond", "ponds", "lake", "lakes", "depth", "depths", "down", "rated", "good", "go", "stretch", "works", "runs", "goes", "reaches", "suitable",
    "areas", "area", "sized", "serves", "covers", "volume", "fit", "tanks", "water", "waters", "lines", "airlines", "treats", "handles", "aerates",
    "deep",
];

/// Words of more, before `than`.
#[rustfmt::skip]
pub(super) static MORE: &[&str] = &[
    "more", "greater", "larger", "bigger", "deeper", "longer", "higher", "louder", "further", "farther", "wider", "better", "mehr", "tiefer",
    "größer", "hotter", "warmer", "heavier", "older", "dieper", "groter", "meer", "profond", "profonds", "profonde", "profondes", "grands", "grand",
    "profundo", "profundos", "dybere", "større",
];

/// Words of less, before `than`.
#[rustfmt::skip]
pub(super) static LESS: &[&str] = &[
    "less", "fewer", "lower", "smaller", "shallower", "shorter", "quieter", "weniger", "cheaper", "colder", "lighter", "cooler", "kleiner",
    "flacher", "minder", "mindre",
];

/// Words that turn a comparison.
#[rustfmt::skip]
pub(super) static TURNS: &[&str] = &[
    "not", "nor", "isn't", "wouldn't", "wouldn’t", "isn’t", "don’t", "won’t", "can’t", "never", "no", "nicht", "nie", "pas", "niet", "ikke", "keine",
    "kein", "don't", "doesn't", "mustn't", "shouldn't", "cannot", "can't", "won't",
];

/// What may stand between a figure and its second listing.
#[rustfmt::skip]
pub(super) static AGAIN: &[&str] = &[
    "deep or", "long or", "that is", "about", "approx.", "approx", "approximately", "or", "ca.", "i.e.", "roughly", "around", "etwa", "up to",
    "deep", "max", "max.", "id", "i.d.", "nominal", "of air", "of water", "air", "gauge", "depth", "which is", "which makes", "oder",
];

/// Words behind `in` that say it is no inch.
#[rustfmt::skip]
pub(super) const NO_UNIT: &[Word] = words![
    "the", "a", "an", "our", "your", "their", "its", "this", "that", "these", "stock", "one", "each", "all", "any", "total", "most", "winter",
    "summer", "ponds", "pond", "water", "series", "parallel", "case", "under", "less", "cold", "warm", "size", "length", "every", "two", "three",
    "box", "place", "use", "operation", "addition", "some", "ten", "fresh", "clear", "january", "february", "march", "april", "may", "june", "july",
    "august", "september", "october", "november", "december", "small", "large", "service", "acres", "both", "shallow", "many", "very", "no", "new",
    "good", "depth",
];

/// Words before a service interval.
#[rustfmt::skip]
pub(super) const EVERY: &[Word] = words![
    "every", "alle", "each", "after", "at", "nach", "tous", "elke", "cada", "in", "once", "within", "ogni", "hver", "hvert", "na", "efter", "dopo",
    "après", "toutes", "iedere",
];

/// Words before how deep something lies.
#[rustfmt::skip]
pub(super) const DOWNWARD: &[Word] = words![
    "at", "to", "down", "@", "bei", "in", "bis", "beyond", "than", "als", "dan", "que", "end",
];

/// What is paid for by the year, and is no electricity.
#[rustfmt::skip]
pub(super) const CONTRACTS: &[Word] = words![
    "plan", "plans", "contract", "subscription", "insurance", "membership", "wartung", "wartungsvertrag", "versicherung", "abo", "contrat",
    "contrato", "contratto", "abonnement",
];

/// Words behind a tax or a fee that is inside a price.
#[rustfmt::skip]
pub(super) const INSIDE: &[Word] = words![
    "inclusa", "incluso", "incluse", "inclus", "incluido", "incluida", "included", "incl", "inklusive", "inbegrepen", "comprise", "compris",
    "compresa",
];

/// What a valve does at a pressure.
#[rustfmt::skip]
pub(super) const OPENS: &[Word] = words![
    "opens", "open", "lifts", "pops", "cracks", "relieves", "blows", "trips", "öffnet",
];

/// What a buyer does.
#[rustfmt::skip]
pub(super) const ASKS: &[Word] = words![
    "calls", "asks", "requires", "wants", "demands", "specifies", "stipulates", "verlangt", "fordert",
];

/// Who buys.
#[rustfmt::skip]
pub(super) const BUYERS: &[Word] = words![
    "tender", "client", "board", "buyer", "council", "specification", "brief", "enquiry", "inquiry", "authority", "ausschreibung",
];

/// Words of a greatest value that a label begins with.
#[rustfmt::skip]
pub(super) const MOST: &[Word] = words![
    "highest", "most", "maximum", "farthest", "furthest", "tallest", "deepest", "greatest", "largest", "longest",
];

/// Phrases of sentences. A word of each has [`super::vocabulary::cue::PHRASED`].
#[rustfmt::skip]
pub(super) static SENTENCES: Phrases = Phrases::new(&[
    (says::PROMISES, &["made for", "rated", "good for", "suits", "built for"]),
    (says::NO_LONGER, &["used to sell", "no longer"]),
    (says::WEATHER, &["barometer", "barometric", "atmospher"]),
    (says::TEST, &["test", "room", "weather", "measured"]),
    (says::MEASURED, &["room temperature", "measured at", "tested at"]),
    (says::TRANSFER, &["transfer", "sote"]),
    (says::SITE, &[
        "prepared for", "ihre anfrage", "at the standpipe", "as described in your", "your e-mail", "your email", "your enquiry", "your drawing",
        "you described", "you measured", "the basin has", "the pond has",
    ]),
    (says::SEEN, &["i saw", "we saw", "i've seen", "i heard"]),
    (says::SOME, &["some of the", "others ran"]),
    (says::RIVAL, &["rival", "competitor", "competing"]),
    (says::OURS, &["ours", "our ", "this one"]),
    (says::NEEDLESS, &["don't need", "don’t need", "do not need"]),
    (says::GONE, &[
        "no longer made", "no longer hold", "another listing", "as you say", "sold until", "until last", "last year's", "somebody else",
        "someone else", "till 201", "till 202", "until 201", "until 202", "can't promise", "make no promise", "no longer sold", "withdrawn",
        "discontinued", "superseded", "out of production", "nicht mehr lieferbar", "ausverkauft",
    ]),
    (says::OTHER_MONEY, &["raffle", "win a ", "cost us ", "cost me ", "have the bill", "we paid", "i paid", "fish fry", "kids under", "admission"]),
    (says::STORY, &[
        "a man rang", "a man in", "a woman in", "a customer in", "a customer near", "a customer of", "a customer who", "a customer's", "a reader's",
        "a reader in", "a reader wrote", "a woman rang", "a neighbour", "a neighbor", "told me", "rang about", "turned out to be", "put one in",
        "other fellow", "used to sell", "sold him", "sold her", "sold them", "lad next door", "man next door", "chap next door", "fellow next door",
        "een klant", "un client", "ein kunde", "eine kundin", "sagt sie", "sagt er", "he was paying", "she was paying",
    ]),
    (says::DOWN, &["far down as", "deep as"]),
    (says::GOES_TO, &["goes to ", "good to "]),
    (says::GOES_ROUND, &["go round", "goes round", "go around", "goes around", "goes through", "round once", "once over"]),
    (says::LIABLE, &["answer for", "stand behind", "stand by it", "back it for", "we cover"]),
    (says::IN_PARTS, &["% apr", "% interest", "interest-free", "finance", "instalment", "installment"]),
]);

/// What joins two figures under one bound.
#[rustfmt::skip]
pub(super) static JOINTS: &[&str] = &[
    "and", "und", "et", "en", "y", "og", "e", "&", "or", "oder", "ou", "of", "o", "eller", "/",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_stands_twice_in_one_row_or_with_capitals() {
        for row in ROWS.iter().chain(HAZARDS) {
            for words in row.words {
                let mut seen: Vec<&str> = words.to_vec();
                seen.sort_unstable();
                seen.dedup();
                assert_eq!(seen.len(), words.len(), "{words:?}");
                for word in words {
                    assert_eq!(*word, word.to_lowercase());
                }
            }
        }
    }

    #[test]
    fn words_are_found_whole() {
        let tags = |text: &str| {
            hits(text)
                .into_iter()
                .map(|hit| hit.tag)
                .collect::<Vec<_>>()
        };
        assert_eq!(tags("Knotted, notable"), []);
        assert!(tags("It does not reach 30 ft").contains(&Tag::Negated));
        // With a capital beyond ASCII, behind a sign, and a phrase within a longer one.
        assert!(tags("L'ÉTAIT. DÉCONSEILLÉ à 5 m").contains(&Tag::Negated));
        let signed: Vec<_> = hits("5 h/day")
            .iter()
            .map(|hit| hit.start..hit.end)
            .collect();
        assert_eq!(signed, [2..3, 3..7, 4..7]);
        assert!(heads_parts("7. Spare parts:") && !heads_parts("Spare parts and kits"));
        assert_eq!(number("Acht"), Some(8.0));
        assert_eq!(number("7,5"), Some(7.5));
    }
}

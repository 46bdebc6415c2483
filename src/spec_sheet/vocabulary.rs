//! The words that tell what a figure is about.
//!
//! One word has one topic. English is covered; of German, French, Spanish and Dutch only the words of a
//! data table, for figures whose unit alone doesn't settle what they are.

use std::sync::{LazyLock, OnceLock};

use hashbrown::HashMap;

use super::word::{Word, WordMap};

/// What a word is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Topic {
    /// Depth of the water or of a diffuser.
    Depth,
    /// Water as such.
    Water,
    /// A pond or a lake.
    Pond,
    /// An area of its own name.
    Area,
    /// The line that carries the air.
    Line,
    /// An inside diameter.
    Bore,
    /// An outside diameter.
    Outside,
    /// A cord, a plug.
    Cord,
    /// A box and its sizes.
    Body,
    /// A diffuser.
    Diffuser,
    /// The machine that compresses.
    Compressor,
    /// A fan.
    Fan,
    /// Noise.
    Sound,
    /// How far away.
    Away,
    /// A distance to keep, a place to dig.
    Clearance,
    /// Pressure.
    Pressure,
    /// Oxygen.
    Oxygen,
    /// Air and its flow.
    Air,
    /// Power drawn.
    Power,
    /// What running costs.
    Running,
    /// What the thing costs.
    Price,
    /// Money that is no price of the thing.
    Charge,
    /// A tax, which a price holds or leaves out.
    Tax,
    /// A warranty.
    Warranty,
    /// Service work.
    Service,
    /// How long something lasts.
    Life,
    /// A pond turned over.
    Turnover,
    /// Water being moved.
    Moved,
    /// Temperature.
    Temperature,
    /// Mass.
    Weight,
    /// Winter and ice.
    Winter,
    /// Somebody's own: my, your, their.
    Whose,
    /// Another thing that is measured only to compare with.
    Other,
    /// What protects a circuit.
    Breaker,
    /// Fittings and their threads.
    Fitting,
    /// Efficiency.
    Efficiency,
    /// What lives or lies in a pond.
    Life2,
    /// What numbers are names of.
    Name,
    /// The length of something, without saying of what.
    Length,
    /// How much water a pond holds.
    Holds,
    /// Somewhere else: addresses, dates.
    Elsewhere,
    /// At a condition.
    At,
    /// At most.
    AtMost,
    /// At least.
    AtLeast,
    /// About.
    About,
    /// For each.
    Per,
    /// Joins two figures or clauses.
    Joint,
    /// A month's name.
    Month,
    /// The package as a whole.
    Package,
    /// Hours that it runs.
    Tariff,
    /// More or less than something.
    Compared,
    /// The most or least of all.
    Superlative,
}

use Topic::*;

static WORDS: &[(Topic, &str)] = &[
    (
        Depth,
        "shallow shallower deepest down-to belüftungstiefe aufstelltiefe maximaltiefe höchsttiefe deep depth depths deeper submergence submerged submersion immersion tiefe tief wassertiefe einbautiefe tiefen max-depth profondeur profond profundidad diepte diep waterdiepte eintauchtiefe profondità dybde dyb dybder diep reaches reach einsatztiefe mindesttiefe arbeitstiefe vijverdiepte werkdiepte vanddybde profundidades prof prof.",
    ),
    (
        Water,
        "water waters wasser wassers eau d'eau d’eau agua acqua d'acqua vand lake-water",
    ),
    (
        Pond,
        "tank tanks dam dams weiher ponds: pond-size pond ponds lake lakes lagoon lagoons basin basins teich teiche teichen gartenteich see étang étangs bassin estanque estanques vijver vijvers bassins reservoir pool pools lochan lochans loch mere tarn dugout moat waters pit teichs teichvolumen teichinhalt badeteich schwimmteich gewässers plas plassen vijverinhoud vijvervolume vijverwater lac lacs mare mares lago lagos charca charcas balsa balsas embalse embalses sø søer søen søens damme dammen havedam havedamme laghetto laghetti laghi stagno stagni bacino",
    ),
    (
        Area,
        "covers cover surface-area pond-area wateroppervlak surface-acres area areas surface acreage fläche teichfläche wasserfläche teichgröße coverage superficie oppervlakte aerates treats wateroppervlakte vijveroppervlak vijveroppervlakte areal arealet vandflade flade",
    ),
    (
        Line,
        "weighted-line weighted-tubing luftschläuche poly pe airline airlines air-line air-lines tubing tube tubes hose hoses line lines pipe pipes piping polyline schlauch schläuche luftschlauch luftleitung leitung tuyau tuyaux manguera slang luchtslang airhose roll rolls coil spool run-length rolle rohrlänge schlauchlänge leitungslänge slanglengte slangen slange luftslange mangueras tubo tubos tubi tubazione tubazioni luchtslangen slanger luftslanger luftslangen bleischlauch sinkschlauch",
    ),
    (
        Bore,
        "id i.d i.d. bore bores inside inner innen internal innendurchmesser inside-diameter diameter dia dia. diam ø bore-size lichte lichtweite intérieur interior interno binnendiameter nominal dn nennweite durchmesser binnenmaat inwendig indvendig indv indv. interna interne diámetro diametro diamètre int int.",
    ),
    (
        Outside,
        "od o.d o.d. outside outer außen external aussen außendurchmesser aussendurchmesser exterior",
    ),
    (
        Cord,
        "cord cords cable cables kabel netzkabel anschlusskabel lead stecker plug plugs extension netzleitung kabellänge",
    ),
    (
        Body,
        "carton-size cabinet cabinets enclosure enclosures box boxes housing guard guards carton cartons case lid pad membrane membranes tall wide high width height weite breite höhe maße abmessungen dimensions dimension footprint gehäuse thick thickness slab post posts screw screws gap stick riser gauge-face shelf pallet pallets karton verpackung mat grill grille sleeve l×b×h lxbxh lxwxh w×d×h wxdxh h×w×d hxwxd basket base weight-plate footprints bracket rohrdeckel",
    ),
    (
        Diffuser,
        "diffuser diffusers disc discs disk disks airstone airstones stone stones station stations diffusor diffusoren belüfter tellerbelüfter membranbelüfter belüfterteller ausströmer ausströmerstein diffuseur diffuseurs difusor difusores plates plate luchtsteen bubbler bubblers tubes-diffuser diffuser-stations diffuser-discs diffuser-heads manifold-diffuser membranteller luchtstenen diffusors teller diffusorer belüftern membranscheiben tallerken beluchters beluchter diffusører luftsten diffusorerne diffusore diffusori difusoras grundbelüfter schotel schotels beluchtingsschotel beluchtingsschotels belüfterplatten disques tellern rohrbelüfter schotelbeluchters schotelbeluchter tallerkendiffusor tallerkendiffusorer ausströmern",
    ),
    (
        Compressor,
        "aerator-pump luftverdichter membranpumpe surpresseur compressor compressors pump pumps motor motors kompressor kompressors verdichter blower blowers compresseur compresor luftpumpe linearkompressor luchtpomp machine engine kolbenkompressor membrankompressor drehschieber compressore compressori kompressoren pumpe pumpen pomp membraanpomp bomba soplante pompa pompe luftpumpen compresseurs",
    ),
    (Fan, "fan fans lüfter ventilator ventilateur cooling"),
    (
        Sound,
        "noise sound loud quiet quieter decibel lärm laut schall geräusch lautstärke schalldruckpegel schalldruck hum bruit ruido geluid geluidsniveau geräuschpegel noisy silent spl whisper-quiet støj støjniveau lydniveau lydtryk rumore rumorosità",
    ),
    (Away, "away distance abstand entfernung distant distanz"),
    (
        Clearance,
        "wall walls clearance clearances fence trench trenches bury buried burial apart spacing spaced shore shoreline house building buildings edge bank dock deck dig frost bushes shrubs setback neighbor's neighbour's hedge driveway gravel footing property mindestabstand graben above ground grade frostline vegraben vergraben tree trees thermometer rope rim garden rasen verlegen eingraben boden gazon",
    ),
    (
        Pressure,
        "pressure pressures druck arbeitsdruck betriebsdruck gegendruck pression presión backpressure nenndruck tryk driftstryk arbejdstryk pressione werkdruk",
    ),
    (
        Oxygen,
        "oxygen o2 o₂ do sauerstoff oxygène oxígeno sauerstoffeintrag zuurstof ilt iltning iltoverførsel ossigeno zuurstofinbreng",
    ),
    (
        Air,
        "freely open-flow luftdurchsatz luftvolumen airflows output-flow débit-d’air luchtopbrengst luchtverplaatsing air airflow luft luftmenge fördermenge förderleistung volumenstrom débit caudal flow flows luftleistung output luftstrom luchtdebiet free-air delivery delivers luftydelse luftmængde aria portata aire lucht",
    ),
    (
        Power,
        "power watts wattage draws draw consumption consumes uses leistung leistungsaufnahme aufnahme verbrauch stromverbrauch puissance potencia input vermogen watt leistungsbedarf nennleistung electricity effekt forbrug strømforbrug bruger potenza assorbe assorbimento consumo consume verbruik stroomverbruik consomme",
    ),
    (
        Running,
        "run runs running operate operates operating operation electric electrical energy bill bills stromkosten betriebskosten cost costs kosten laufende consommation coût costing utility strom jahreskosten strøm koster costo costi costa coste gasto gasta cuesta kost driftsomkostninger",
    ),
    (
        Price,
        "price prices priced pris msrp preis preise stückpreis sale buy now retail list prix precio prijs our-price reg regular special vk uvp each-price listenpreis nettopreis gesamt total subtotal prijzen vejl prezzo adviesprijs",
    ),
    (
        Tax,
        "vat tax taxes mwst mwst. ust gst hst pst tva btw iva steuer umsatzsteuer duty",
    ),
    (
        Charge,
        "ships postage fragt forsendelse carriage rebates cashback voucher charge charges zone qty quantity bulk verzending verzendkosten bezorging livraison instalment instalments monthly-payment deposits shipped-for cart basket checkout warenkorb panier winkelwagen postcodes threshold surcharges crating handling-fee shipping ship delivery-fee freight handling versand versandkosten lieferung deposit financing finance save saves saved saving savings off discount coupon rebate gift kaution restocking fee fees surcharge rabatt frais fracht install installation orders order over-orders minimum-order credit lieferkosten porto financing-from mo-financing instalments installments payments payment affirm donation prize returns return insurance liftgate tail-lift core commissioning training call-out callout labour labor franco frei survey",
    ),
    (
        Warranty,
        "covered warranty warranties guarantee garanti garantie gewährleistung warrantied garantía warranted gewähr guaranteed guarantees warrants liability defects garanzia",
    ),
    (
        Service,
        "every-months service services serviced servicing replace replaced replacement replacing clean cleaned cleaning change changed changing maintenance inspect inspected rebuild wartung wartungsintervall reinigen wechseln tauschen filterwechsel austausch entretien mantenimiento onderhoud interval intervals wash washed swap swapped check checked checking wipe wechsel changes nettoie nettoyer changent vervangen uitkloppen schoonmaken ausklopfen skiftes skifte skift udskiftes rengøres vedligeholdelse manutenzione cambiare cambiarsi sostituire sostituzione cambiar cambian cambio cambie limpiar limpie changer remplacer membranwechsel membranaustausch",
    ),
    (
        Life,
        "wears life lifespan lifetime lasts last lasting lebensdauer wear durability mtbf service-life endurance lived founded since established experience years-of serving trial live lives",
    ),
    (
        Turnover,
        "turnover turnovers turns turn turned turning umwälzung umwälzungen umgewälzt umwälzt destratify destratifies mixes mixed circulation renouvellement overturns rotates exchange exchanges revolutions circulates-once omrøring vender omrører omwenteling omwentelingen keert ricambio rimescola ricircolo renovación renovaciones renueva renouvelle brasse brassage",
    ),
    (
        Moved,
        "moves moved moving lifts lift lifted lifting circulates circulate circulating circulated displaces entrains displaced gehoben bewegt förderstrom pumped entrained carries bewegte wasserbewegung wälzt umwälzleistung movida movido movimentata movimentato déplacée déplace flyttet flytter verplaatst verplaatste wasserförderung hebt hæver",
    ),
    (
        Temperature,
        "ambient temperature temperatures temp discharge temperatur umgebung umgebungstemperatur température temperatura hot exhaust heat overheat ta omgivelsestemperatur omgivende buitentemperatuur omgevingstemperatuur ambientale",
    ),
    (
        Weight,
        "wt wgt wt. ship-weight shipped boxed crated weight weights weighs weigh mass gewicht wiegt masse poids peso weighted-weight versandgewicht packed packgewicht weighing ballast net nett vægt vejer pesa pèse weegt",
    ),
    (
        Winter,
        "icehole eisloch ice winter frozen freeze freezes de-ice deice de-icing deicing eis eisfrei hole thaw eisfreihaltung open-water icefree ice-free",
    ),
    (
        Whose,
        "my our your his her their customer customer's customers neighbor neighbour client clients yours mine ihr ihren unser unsere his-pond",
    ),
    (
        Other,
        "barometer barometric theirs bulb bulbs light lights lamp lamps lightbulb conversation whisper library refrigerator fridge vacuum mower warehouse truck showroom office store stores facility fountain fountains competitor competitors competing competition rival old older previous former aquarium kettle toaster tv traffic glühbirne glühlampe dishwasher paddlewheel lawn dealer dealers motorway room chainsaw generator generators hair-dryer windmill windmills tractor talk talking rainfall propeller vorgänger vorgängermodell bisher bisheriger predecessor voorganger",
    ),
    (
        Breaker,
        "gfci rcd fi trip trips tripping residual breaker breakers fuse fuses circuit circuits outlet outlets socket sockets sicherung fehlerstrom schutzschalter fehlerstromschutzschalter fi-schutzschalter steckdose receptacle receptacles rcds gfcis auslösestrom fuse-rating differential disjoncteur rcbo leakage ersatzsicherung gerätesicherung feinsicherung absicherung vorsicherung groep zekering zekeringen disyuntor magnetotérmico fusible fusibile fusibili sikring sikringer interruttore",
    ),
    (
        Fitting,
        "conduit conduits reducers bushing barb barbs barbed npt bsp fitting fittings adapter adapters thread threads threaded elbow elbows ports connection connections connector connectors anschluss tülle valve valves coupling couplings clamp clamps nipple tee reducer stutzen schlauchtülle raccord gewinde union ports-outlet kugelhahn",
    ),
    (
        Efficiency,
        "efficiency sote ote transfer wirkungsgrad efficient rendement übertragung sauerstoffausnutzung",
    ),
    (
        Life2,
        "fish bass koi trout bluegill catfish carp algae muck sludge salt seed stocked pellet pellets feed fische karpfen bacteria weeds weed leaves sediment silt rock rocks sand concrete gravel-bag goldfish lime alum enzymes minnows forellen",
    ),
    (
        Name,
        "part model item sku art artikel artikelnummer artikel-nr bestell-nr bestellnummer no nr number page section chapter figure fig phone tel telefon fax call call-us order-no ref version rev revision seite kapitel suite po zip invoice serial form ean upc gtin rohs iso en iec ul csa nsf nema ip stock-no step steps question diagram table lot ip44 vat-no",
    ),
    (
        Length,
        "length lengths long länge longueur longitud lengte lang laid",
    ),
    (
        Elsewhere,
        "elevation altitude sea sea-level meereshöhe höhenlage meer meeresspiegel zeeniveau",
    ),
    (At, "at @ bei à bij"),
    (
        Holds,
        "volume volumes volumen volúmenes volumi inhoud wasservolumen teichvolumen vijvervolume vijverinhoud vandvolumen rumfang",
    ),
    (
        AtMost,
        "indtil hasta maxi højeste hoogste höchster höchstes højst hoogstens greatest deepest longest höchstdruck höchsttiefe maximales maximalen max max. maks maks. største maximum maximal maximale maximaler maximum: under below within ≤ < höchstens unter bis jusqu'à hasta tot máx massimo maximum-depth largest greatest limit limits pmax größte größter größtes maximalt maksimal maksimalt maksimum højst grootste hoogstens hooguit t/m máxima máximas máximos massima massimi massime maximaal höchste máximo maxi",
    ),
    (
        AtLeast,
        "min minimum mindestens over above-all exceeds exceeding exceed ≥ > from starting ab minst minimale minimaler dès desde mindest mindste minste mínimo mínima minimo minima",
    ),
    (
        About,
        "about approximately approx approx. around roughly ~ ≈ ca ca. circa nearly almost some typically typical nominal nominally average averages avg rund etwa environ ungefähr estimated averaging close unos unas alrededor aproximadamente cirka omkring omtrent zo'n ungefær",
    ),
    (Per, "per each every pro je par por apiece"),
    (
        Joint,
        "and or with plus-with including includes mit und et y oder ou og eller",
    ),
    (
        Month,
        "january february march april june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec januar februar märz mai juni juli oktober dezember",
    ),
    (
        Package,
        "package packages kit kits system systems unit units bundle set paket komplettset anlage aerator aerators model-package",
    ),
    (
        Tariff,
        "kwh kilowatt-hour kilowatt-hours tariff tarif strompreis rate",
    ),
    (
        Compared,
        "less more fewer lower higher quieter cheaper stronger faster smaller larger better greater outperforms than weniger mehr leiser",
    ),
    (
        Superlative,
        "quietest strongest best lowest highest fastest cheapest smallest leiseste leisester sparsamste",
    ),
];

/// Numbers as words, and parts of a whole.
static NUMBERS: &[(&str, &str)] = &[
    ("one", "1"),
    ("two", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
    ("seven", "7"),
    ("eight", "8"),
    ("nine", "9"),
    ("ten", "10"),
    ("eleven", "11"),
    ("twelve", "12"),
    ("thirteen", "13"),
    ("fourteen", "14"),
    ("fifteen", "15"),
    ("sixteen", "16"),
    ("eighteen", "18"),
    ("twenty", "20"),
    ("twenty-four", "24"),
    ("twenty-five", "25"),
    ("thirty", "30"),
    ("forty", "40"),
    ("fifty", "50"),
    ("sixty", "60"),
    ("seventy", "70"),
    ("eighty", "80"),
    ("ninety", "90"),
    ("hundred", "100"),
    ("zero", "0"),
    ("oh", "0"),
    ("thousand", "1000"),
    ("dozen", "12"),
    ("half", "1/2"),
    ("quarter", "1/4"),
    ("one-half", "1/2"),
    ("one-quarter", "1/4"),
    ("one-third", "1/3"),
    ("one-eighth", "1/8"),
    ("three-quarter", "3/4"),
    ("three-quarters", "3/4"),
    ("three-eighths", "3/8"),
    ("two-thirds", "2/3"),
    ("third", "1/3"),
    ("eighth", "1/8"),
    ("single", "1"),
    ("twin", "2"),
    ("dual", "2"),
    ("zwei", "2"),
    ("drei", "3"),
    ("vier", "4"),
    ("fünf", "5"),
    ("sechs", "6"),
    ("five-eighths", "5/8"),
    ("seven-eighths", "7/8"),
    ("a-half", "1/2"),
    ("seventeen", "17"),
    ("nineteen", "19"),
    ("thirty-five", "35"),
    ("thirty-six", "36"),
    ("forty-five", "45"),
    ("once", "1"),
    ("twice", "2"),
    ("thrice", "3"),
    ("double", "2"),
    ("acht", "8"),
    ("zehn", "10"),
    ("zwölf", "12"),
    ("halbe", "1/2"),
    ("halben", "1/2"),
    ("halber", "1/2"),
    ("deux", "2"),
    ("trois", "3"),
    ("quatre", "4"),
    ("dos", "2"),
    ("tres", "3"),
    ("cuatro", "4"),
    ("twee", "2"),
    ("drie", "3"),
    ("sieben", "7"),
    ("neun", "9"),
    ("elf", "11"),
    ("cinq", "5"),
    ("huit", "8"),
    ("sept", "7"),
    ("neuf", "9"),
    ("dix", "10"),
    ("douze", "12"),
    ("cinco", "5"),
    ("seis", "6"),
    ("siete", "7"),
    ("ocho", "8"),
    ("nueve", "9"),
    ("diez", "10"),
    ("doce", "12"),
    ("vijf", "5"),
    ("zes", "6"),
    ("zeven", "7"),
    ("negen", "9"),
    ("tien", "10"),
    ("twaalf", "12"),
    ("tre", "3"),
    ("due", "2"),
    ("einem", "1"),
    ("fem", "5"),
    ("seks", "6"),
    ("syv", "7"),
    ("otte", "8"),
    ("ti", "10"),
    ("tolv", "12"),
    ("quattro", "4"),
    ("cinque", "5"),
    ("sette", "7"),
    ("otto", "8"),
    ("nove", "9"),
    ("dieci", "10"),
    ("dodici", "12"),
    ("einmal", "1"),
    ("zweimal", "2"),
    ("dreimal", "3"),
    ("eenmaal", "1"),
    ("tweemaal", "2"),
    ("anderthalb", "3/2"),
    ("halvanden", "3/2"),
];

/// What a word means here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// It is about this.
    Topic(Topic),
    /// It is this number, in the format's writing; for a word like `half-acre` with what is counted.
    Number(&'static str),
}

/// What single words tell beyond their topic, as bits of [`Entry::cues`].
pub mod cue {
    /// Begins a comparison.
    pub const COMPARES: u64 = 1;
    /// May stand in `24 hours a day`.
    pub const HOURLY: u64 = 1 << 1;
    /// Somebody's own thing is told of.
    pub const SOMEBODY: u64 = 1 << 2;
    /// The one who writes.
    pub const SPEAKS: u64 = 1 << 25;
    /// What one has, or did once.
    pub const OWNS: u64 = 1 << 26;
    /// Tells of what was.
    pub const PAST: u64 = 1 << 27;
    /// May begin what isn't about the thing that is sold.
    pub const ASIDE: u64 = 1 << 28;
    /// Something is supposed.
    pub const SUPPOSES: u64 = 1 << 3;
    /// The seller rates or recommends.
    pub const RATES: u64 = 1 << 4;
    /// Acres, or a rating.
    pub const ACRES: u64 = 1 << 5;
    /// Sides of a box.
    pub const BOXED: u64 = 1 << 6;
    /// The seller's own business: money back, the year it was founded.
    pub const BUSINESS: u64 = 1 << 7;
    /// An interval.
    pub const INTERVAL: u64 = 1 << 8;
    /// A diameter, without saying which.
    pub const ANY_DIAMETER: u64 = 1 << 9;
    /// Stands between a preposition and its figure.
    pub const BETWEEN: u64 = 1 << 10;
    /// A greatest value.
    pub const LIMIT: u64 = 1 << 11;
    /// Follows a number with a hyphen: `two-disc`, `quarter-inch`.
    pub const COUNTED: u64 = 1 << 12;
    /// A part that wears and is cleaned or replaced.
    pub const WEARS: u64 = 1 << 13;
    /// Money that is asked for bringing the thing, or that is somebody else's.
    pub const CHARGES: u64 = 1 << 14;
    /// Puts a diffuser where it lies.
    pub const SETS: u64 = 1 << 15;
    /// A price of energy.
    pub const TARIFF: u64 = 1 << 16;
    /// What another seller makes or does.
    pub const RIVAL: u64 = 1 << 17;
    /// Words between a charge and a price that keep them apart: `plus freight`, `free delivery`.
    pub const APART: u64 = 1 << 18;
    /// What a gauge shows.
    pub const SCALE: u64 = 1 << 19;
    /// A number of things in a list of what is sold.
    pub const QUANTITY: u64 = 1 << 20;
    /// A short piece of something.
    pub const PIECE: u64 = 1 << 21;
    /// Asks, if not with a question mark.
    pub const ASKS: u64 = 1 << 23;
    /// What holds from now on.
    pub const NOW: u64 = 1 << 22;
    /// Joins two numbers: to a range, a size, a choice.
    pub const JOINS: u64 = 1 << 24;
    /// What was sold before.
    pub const OLD: u64 = 1 << 29;
    /// What somebody wants.
    pub const WISHES: u64 = 1 << 30;
    /// Stands in a phrase of [`super::super::phrases`].
    pub const PHRASED: u64 = 1 << 31;
    /// May tell whose pond is spoken of.
    pub const WHOSE: u64 = 1 << 32;
}

static CUES: &[(u64, &str)] = &[
    (
        cue::COMPARES,
        "twice double triple doubles doppelt fraction quietest leiseste leisester leisestes quieter leiser most strongest lowest highest cheapest best less fewer lower more higher better cheaper weniger mehr",
    ),
    (cue::HOURLY, "hours h hrs hr stunden clock uhr"),
    (
        cue::SOMEBODY,
        "want wants wanted owners owner asked my mine customer customer's neighbor neighbour he she client his her installed",
    ),
    (cue::SPEAKS, "i we i've we've i'm we're us"),
    (
        cue::OWNS,
        "have has had own owns owned got bought installed dug stocked lost",
    ),
    (
        cue::PAST,
        "was were had did died killed threw touched sounded stood bought went came said told lost ran kept gave put got took rattled drank swallowed hummed hadn't wasn't didn't",
    ),
    (
        cue::ASIDE,
        "also bought together goes related recently recommended more other similar review reviews testimonial testimonials customers people kundenmeinung kundenmeinungen bewertung bewertungen kunden auch ähnliche klantbeoordeling klantbeoordelingen avis cart basket shipping delivery versand returns livraison verzending elsewhere",
    ),
    (cue::SUPPOSES, "if suppose imagine say"),
    (
        cue::RATES,
        "rate recommend design designed sized size rated specify",
    ),
    (cue::ACRES, "acre acres rated"),
    (cue::BOXED, "wide high tall width height breite höhe"),
    (
        cue::BUSINESS,
        "money return returns refund founded business",
    ),
    (
        cue::INTERVAL,
        "every interval intervals alle tous toutes elke iedere om cada hver hvert ogni",
    ),
    (cue::ANY_DIAMETER, "diameter dia nominal durchmesser"),
    (
        cue::BETWEEN,
        "gauge diffuser static manifold up a an the jeweils about approximately approx around of depth depths pressure just only roughly distance maximum max least full minimum working water ca rate tariff etwa einer tiefe rund average as back running operating duty nominal steady typical say price temperature ambient air",
    ),
    (
        cue::COUNTED,
        "acre acres foot feet ft inch inches year month week day hour watt volt gallon horsepower horse hp metre meter metres meters cfm psi pound amp minute diffuser diffusers disc discs disk disks station stations plate plates airstone airstones",
    ),
    (
        cue::WEARS,
        "filter filters diaphragm diaphragms membrane membranes vane vanes cup cups seal seals kit felt pad pads cartridge element elements gasket gaskets flapper flappers bearing bearings brush brushes luftfilter membran membranen dichtung dichtungen filtre filtres membraner membranes membranas membrana membrane membranen zuigerveren kolbendichtung kolbensatz kolbendichtungen paletas palette segments lameller lamellen filtro filtros filtri luchtfilter felt membransæt membranset membransatz joints cups paletten",
    ),
    (
        cue::CHARGES,
        "carrier courier haulier men exchange part-exchange funds balance bid bids bidding budget delivery delivered delivering cart basket bag checkout warenkorb panier winkelwagen used second-hand secondhand auction ebay refurbished port verzending verzendkosten bezorging bezorgkosten livraison postage carriage envío gebraucht trade-in trade",
    ),
    (
        cue::SETS,
        "set sets hang hangs hung place placed lower lowered sink sinks sunk lie lies lying sit sits put suspend suspended position positioned rests resting placing setting hanging",
    ),
    (
        cue::TARIFF,
        "pay pays paid kwh kilowatt-hour kilowatt-hours kilowatt tariff tarif strompreis rate rates unit units electricity power utility electric energy strom électricité",
    ),
    (
        cue::RIVAL,
        "rival's competitor competitors competitor's competing rival rivals theirs others other brand",
    ),
    (
        cue::APART,
        "plus and with inc incl inkl including include includes included excl ex excluding excludes zzgl exkl before free hors without not",
    ),
    (
        cue::SCALE,
        "gauge gauges manometer scale dial manomètre skala",
    ),
    (
        cue::QUANTITY,
        "qty quantity anzahl menge stück stk count quantité aantal cantidad pcs pieces",
    ),
    (
        cue::ASKS,
        "asked asks asking wondered wonders inquired fragte fragt",
    ),
    (cue::NOW, "now new jetzt neu nunmehr nu désormais"),
    (cue::PIECE, "section sections piece pieces whip stub"),
    (
        cue::LIMIT,
        "max maximum maximal maximale maximaler limit limits largest greatest deepest longest highest maximum-depth höchstdruck höchsttiefe shut-off-limit höchste größte größter größtes maximales maximalt maximaal maks maks. maksimal maksimalt maksimum største grootste massima massimo massimi máxima máximo máx maxi højeste hoogste höchster höchstes højst hoogstens höchstens",
    ),
    (
        cue::OLD,
        "old first replaces supersedes ersetzt vervangt remplace afløser",
    ),
    (cue::WHOSE, "own yours mine place"),
    (
        cue::WISHES,
        "asked asks calls requires wants demands specifies stipulates verlangt fordert required requested gefordert gevraagd",
    ),
    (
        cue::PHRASED,
        "made rated good suits built sell longer barometer barometers barometric atmosphere atmospheres atmospheric test tests tested testing room rooms weather measured temperature transfer transfers transferred sote prepared anfrage standpipe described e-mail email enquiry drawing basin pond saw i've heard some others rival rivals rival's competitor competitors competitor's competing ours our this need listing say until last year's else till promise withdrawn discontinued superseded out lieferbar year raffle win man woman customer customers customer's reader readers reader's neighbour neighbours neighbour's neighbor neighbors neighbor's told rang turned put fellow sold was down deep goes round around through over answer stand back cover apr bill ausverkauft us me paid fry kids admission door klant client kunde kundin sagt interest interest-free finance financed finances instalment instalments installment installments paying",
    ),
    (cue::JOINS, "til to through bis à a tot and x by or up"),
];

/// All that is known of a word.
#[derive(Debug, Clone, Copy, Default)]
pub struct Entry {
    /// What it means.
    pub meaning: Option<Meaning>,
    /// What it tells beyond that: bits of [`cue`].
    pub cues: u64,
}

/// The words that are known. Most of them are short.
#[derive(Default)]
struct Known {
    short: WordMap<Entry>,
    long: HashMap<String, Entry, fnv::FnvBuildHasher>,
}

impl Known {
    fn entry(&mut self, text: &str) -> &mut Entry {
        let word = Word::read(text);
        if word.is_long() {
            return self.long.entry(text.to_owned()).or_default();
        }
        self.short.entry(word)
    }
}

fn known() -> &'static Known {
    static KNOWN: OnceLock<Known> = OnceLock::new();
    KNOWN.get_or_init(|| {
        let mut known = Known::default();
        for &(topic, words) in WORDS {
            for word in words.split(' ') {
                let meaning = &mut known.entry(word).meaning;
                meaning.get_or_insert(Meaning::Topic(topic));
            }
        }
        for &(word, number) in NUMBERS {
            known.entry(word).meaning = Some(Meaning::Number(number));
        }
        for &(cue, words) in CUES {
            for word in words.split(' ') {
                known.entry(word).cues |= cue;
            }
        }
        known
    })
}

/// What is known of a word, whatever its capitals.
pub fn entry(text: &str) -> Entry {
    entry_of(Word::read(text), text)
}

/// What is known of a word that stands for that text.
pub fn entry_of(word: Word, text: &str) -> Entry {
    let known = known();
    if word.is_long() {
        // The longest of the list has a few letters more than a short one.
        const LONGEST: usize = 32;
        return (text.len() <= LONGEST)
            .then(|| known.long.get(&text.to_lowercase()).copied())
            .flatten()
            .unwrap_or_default();
    }
    known.short.get(word).copied().unwrap_or_default()
}

/// The topic of a word.
pub fn topic(word: &str) -> Option<Topic> {
    match entry(word).meaning {
        Some(Meaning::Topic(topic)) => Some(topic),
        _ => None,
    }
}

/// The unit of a quantity that the trade gives in one unit only, by the quantity's name.
pub fn unit_of_quantity(word: &str) -> Option<&'static str> {
    static NAMES: &[(&str, &str)] = &[
        (
            "V",
            "voltage volt volts vac spannung netzspannung tension spanning volts tensión tensione spænding supply mains netz",
        ),
        (
            "A",
            "amperage amps amp ampere amperes stromaufnahme fla strom nennstrom courant stroom corriente corrente",
        ),
        (
            "W",
            "wattage watt watts input leistungsaufnahme consumption",
        ),
        (
            "Hz",
            "frequency frequenz hertz fréquence frequentie frecuencia frekvens frequenza",
        ),
        ("hp", "horsepower"),
    ];
    static KNOWN: LazyLock<WordMap<Option<&str>>> = LazyLock::new(|| {
        let mut known = WordMap::<Option<&str>>::default();
        for (unit, words) in NAMES {
            for word in words.split(' ') {
                *known.entry(Word::read(word)) = Some(*unit);
            }
        }
        known
    });
    *KNOWN.get(Word::read(word))?
}

/// Whether a text has a word with a topic that tells what a figure is about.
pub fn has_topic(text: &str) -> bool {
    text.split(|c: char| !(c.is_alphanumeric() || matches!(c, '.' | '-')))
        .filter_map(topic)
        .any(|topic| {
            !matches!(
                topic,
                Name | At | AtMost | AtLeast | About | Per | Joint | Whose
            )
        })
}

/// A set of topics.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Topics(u64);

impl Topics {
    /// Whether the topic is one of them.
    pub fn has(self, topic: Topic) -> bool {
        self.0 >> (topic as u32) & 1 == 1
    }

    /// Whether there is none.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether both have one that tells what a figure is about.
    pub fn meet(self, other: Topics) -> bool {
        Topics(self.0 & other.0).tell()
    }

    /// Whether one of them tells what a figure is about.
    pub fn tell(self) -> bool {
        const NOT: [Topic; 8] = [Name, At, AtMost, AtLeast, About, Per, Joint, Whose];
        let not = NOT.iter().fold(0, |not, &topic| not | 1 << (topic as u32));
        self.0 & !not != 0
    }

    /// Adds one.
    pub fn add(&mut self, topic: Topic) {
        self.0 |= 1 << (topic as u32);
    }
}

// Topics are counted as bits of one number.
const _: () = assert!((Topic::Superlative as u32) < 64);

//! Words of notes that are accounted for: those that say nothing of which tendons are meant, and those of each field.
//!
//! Each list is words between blanks. A star stands for any letters: `fill*` for filled and filler, `*wachs` for what is put together with it.
//! From memory of notes on drawings and schedules, in English, German and French.

/// Words that bind others, and of what is harmless of any value.
pub(super) const PLAIN: &str = "\
    a an the this these that it its of in into to for with by on from at as is are be been being were was has have \
    shall should will must and or also all each every any both throughout within per unless noted stated shown otherwise \
    uno u.n.o typ typical typically nominal nom approx approximately about ca used use using provided taken \
    assumed specified supplied adopted based design value values equal approved equivalent similar type class note \
    notes n.b nb project bridge structure schedule listed i.e e.g after before following during completion \
    stressing made consist* compris* general generally x no nr according accordance acc see ref refer contractor \
    mentioned above below incl* included under given der die das des dem den ein eine einem einer mit von aus für \
    zu zum zur nach vor und oder ist sind wird werden wurde* worden soll* aller alle allen alles je jede* \
    sämtliche* gilt beide* bzw gemäß gemäss gem laut siehe nennwert typisch angenommen* verwendet vorspannen \
    spannen art hinweis* im am bei beim unter inkl* enthalten berücksichtigt le la les l d de du un une et ou en \
    au aux à par pour avec est sont sera seront être tous toutes tout toute chaque valeur* après avant mise \
    tension selon suivant voir environ nominal* sur dans nota sous";

/// Words for tendons.
pub(super) const TENDONS: &str = "\
    tendon* cable cables spannglied* câble câbles spannkabel*";

/// Words for what all tendons have, and for the trade itself.
pub(super) const OF_TENDONS: &str = "\
    pt post-tension* posttension* prestress* pre-stress* vorspann* spann précontrainte stress* replaceable \
    auswechselbar* remplaçable*";

/// Words for strands and ducts, of which every tendon is made.
pub(super) const PARTS: &str = "\
    strand strands litze litzen toron torons spannstahl duct ducts ducting sheath* hüllrohr* gaine gaines pipe \
    pipes";

/// Words of what fills.
pub(super) const FILLER: &str = "\
    fill* füll* inject* injizier* injektion* injekt* grout* verpress* verpreß* verfüll* hinterfüll* auspress* \
    rempli* coulis pump* wax* cire* wachs* *wachs grease* graiss* fett fette *fett cement* zement* *zement *mörtel \
    mörtel ciment* mortier material* matériau* produit* microcrystalline mikrokristallin* microcristallin* \
    petroleum petrolatum petrolat* pétrol* paraffin* flexible soft souple* hot heiß* heiss* chaud* melted molten \
    liquid corrosion korrosionsschutz* protect* protection* inhibit* anti-corros* anticorros* compound product \
    viscous thixotropic non-shrink nonshrink non-bleed prebagged pre-bagged premixed portland common special \
    vacuum pressure full fully complete completely solid vollständig entièrement duct masse medium colour agent \
    w/c ratio max maximum min minimum bleed* temperature* temperatur* strength* day days water";

/// Words of friction and wobble.
pub(super) const FRICTION: &str = "\
    friction* coeff coef coefficient* mu µ μ k wobble* unintend* unintentional angular angle* deviation* curvature \
    reib* beiwert* ungewollt* umlenkwinkel* winkel* *beiwert frottement* courbure déviation* parasite* ondulation* \
    loss* verlust* perte* rad rd radian* f φ phi factor factors calc* computation* berechnung* calcul* estimated theoretical \
    allowed courbe* hdpe pe smooth plastic zero nil";

/// Words of the set of wedges, and of the ends at which they are drawn in.
pub(super) const SET: &str = "\
    anchor* wedge* set setting draw drawn draw-in drawin in seat* slip* pull pulled pull-in schlupf *schlupf keil* \
    anker* verankerung* einzug keileinzug rentrée* ancrage* coin coins clavette* lock* off end ends live active \
    actif* jack* spannanker* ende enden b extrémité* deux allowance allow* loss* elongation* extension* dehn* \
    allongement* δl δ theoretical expected calc* estimated";

/// Words of the stress to which tendons are jacked.
pub(super) const SHARE: &str = "\
    jack* force forces initial fpu f'pu f’pu fpk guts muts uts fptk pj po p0 prior seating load tensile strength ultimate \
    guaranteed characteristic ap aps";

/// Words of the end from which tendons are stressed.
pub(super) const FROM: &str = "\
    jack* end ends a b only simultaneously";

/// Words of where tendons lie.
pub(super) const SITUATION: &str = "\
    extern external externe* extérieur* inside box girder hohlkasten caisson";

/// Words of tendons that tell nothing more where tendons are named.
pub(super) const OF_NAMED: &str = "thru through u \
    existing new replaced replacement external internal bestehend* vorhanden* neu neue* extern* intern* existant* \
    nouveau* nouvelle* extérieur* intérieur*";

/// Words of the strand.
pub(super) const STRAND: &str = "\
    steel* stahl acier* wire wires 7-wire seven-wire seven draht drähte fils low relax* lo-lax lolax lowlax lax lo \
    grade gr st dia* diam durchm* diamètre ø ⌀ φ ∅ area* cross* section* sectional querschnitt* fläche aire \
    tensile ultimate strength* char characteristic *festigkeit festigkeit résistance rupture yield* proof break* \
    bruch* load* force* kraft mbl uts guts muts modul* elast* young* e ep es ap aps as a fpu f'pu f’pu fpk fptk \
    fprg fpt fpy rm fp0 mass* weight* masse* gewicht uncoated coated bare bright cold drawn cold-drawn \
    kaltgezogen* weldless stress-relieved relieved high normal super compact* sheathed greased galvani* \
    certificate* mill zeugnis* werk* elongation* extension* dehn* allongement* guaranteed individual* single \
    actual standard* propert* hours h t13s t15s classe basse très relaxation deg ult elongate unit sq lb lbs min \
    max minimum maximum specific core outer fully pe hdpe monostrand* polyethylene anchor*";

/// Words of ducts.
pub(super) const DUCT: &str = "\
    min minimum hdpe pe pehd pe-hd polyethylene polyéthylène polyethylen polypropylene pp plastic kunststoff* \
    plastique* smooth glatt* lisse* size* ips od o.d id i.d outer outside inner external ext int wall* thick* \
    wand* dicke épaisseur ép ø ⌀ φ ∅ dia* diam durchm* diamètre sdr dr dimension* ratio series black schwarz* \
    noir* weld* butt-weld* butt fusion steel heavy duty pressure material*";

/// Organisations of standards, in capitals.
pub(super) const ORGANISATIONS: &str = "\
    ASTM EN BS AASHTO JIS AS/NZS ISO NF DIN SIA ETA EAD ETAG FIB PTI ACI ASBI PREN IRC CSA IS";

/// Words behind which a source is named.
pub(super) const OPENS_SOURCE: &str = "\
    per acc according accordance see ref refer spec specification specifications drawing drawings dwg dwgs drg \
    drgs gemäß gemäss gem laut lt siehe nach zulassung selon suivant voir cf pren approval certificate detail norm";

/// Words of which sources are made, and which are so only in one.
pub(super) const IN_SOURCE: &str = "\
    spec* clause* cl section* sect sec drawing* dwg* drg* sheet* sht* table* tab annex appendix chapter rev \
    revision part standard* norm* code article art item plan plans zeichnung* blatt abschnitt tabelle anhang \
    kapitel zulassung* teil cctp fascicule approval* certificate* manufacturer* supplier* system* provisions \
    contract* document* requirement* fig figure detail* technical national european calculation* report method \
    statement us metric m annexe engineer* hersteller* dated file* record* as-built";

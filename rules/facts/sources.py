"""The sources that facts point to. Addresses are as found when the figure was read; `kind` says what has none."""

from __future__ import annotations

from rules.facts.fact import Source, SourceKind

COMMON_PRACTICE = Source(key="common practice", who="common practice", kind=SourceKind.COMMON_PRACTICE)
EXPERT_JUDGEMENT = Source(key="expert judgement", who="expert judgement", kind=SourceKind.EXPERT_JUDGEMENT)
FROM_MEMORY = Source(key="from memory", who="from memory", kind=SourceKind.FROM_MEMORY)


# --- freezing tolerance --------------------------------------------------------------------------------------------

BUSEY_2003 = Source(
    key="busey-2003",
    who="Busey",
    year=2003,
    title="St. Augustinegrass survival in 24 Florida counties, December 1989",
    where="HortScience 38:1439-1440",
)
LEAKAGE_1994 = Source(
    key="leakage-1994",
    who="Maier, Lang, Fry (authors from memory)",
    title="Evaluation of an electrolyte leakage technique to predict St. Augustinegrass freezing tolerance",
    where="preview.concepedia.online/publication/W2461524067",
    year=1994,
)
FRY_1991 = Source(key="fry-1991", who="Fry, Lang, Clifton", where="HortScience 26:1537", year=1991)
MAIER_1994 = Source(
    key="maier-1994",
    who="Maier et al.",
    where="J. Amer. Soc. Hort. Sci. 119:473, journals.ashs.org/jashs/view/journals/jashs/119/3/article-p473.xml",
    year=1994,
)
HAN_2010 = Source(
    key="auburn-han-2010", who="Han, Auburn Univ.", title="Alabama Turf Times", where="Winter 2010, page 12", year=2010
)
NTEP_2017 = Source(
    key="ntep-2017",
    who="National Turfgrass Evaluation Program review",
    where="Turf News, Jul-Aug 2017, p. 50",
    year=2017,
)
BEARD_1991 = Source(
    key="beard-1991",
    who="Beard, Sifers, Griggs",
    where="Texas Turfgrass Research PR-4898, tic.msu.edu/tgif/fullrecord?recno=33669",
    year=1991,
)
ANDERSON_2002 = Source(
    key="anderson-2002",
    who="Anderson, Taliaferro, Martin",
    where="Crop Science 42:975, dl.sciencesocieties.org/publications/cs/abstracts/42/3/975",
    year=2002,
)
ANDERSON_EXPOSURE = Source(
    key="bermuda-exposure",
    who="Anderson et al.",
    year=2003,
    title="Longer exposure durations increase freeze damage to turf bermudagrasses",
    where="Crop Science 43:973-977 (volume and year from memory)",
)
OSU_BERMUDA = Source(
    key="osu-bermuda",
    who="Oklahoma State Univ. (authors not seen)",
    title="Evaluating the freeze tolerance of bermudagrass genotypes",
    where="discovery.researcher.life, record 0537d5363dc03dbf85dd2dd8e085ca44",
)
GOPINATH_2021 = Source(key="gopinath-2021", who="Gopinath, Moss, Wu", where="HortScience 56:478", year=2021)
ANDERSON_1995 = Source(
    key="anderson-1995",
    who="Anderson, Taliaferro",
    where="Agronomy Journal 87, doi 10.2134/agronj1995.00021962008700050041x",
    year=1995,
)
CARDONA_1997 = Source(
    key="cardona-1997",
    who="Cardona, Duncan, Lindstrom",
    where="Crop Science 37:1283, tic.msu.edu recno=40685",
    year=1997,
)
KSTATE_2019 = Source(
    key="k-state-2019", who="Kansas State Univ.", where="newprairiepress.org/kaesrr/vol5/iss5/6", year=2019
)
PATTON_2007 = Source(
    key="patton-2007",
    who="Patton, Reicher",
    title="Zoysiagrass species and genotypes differ in their winter injury and freeze tolerance",
    where="Crop Science 47 (volume from memory)",
    year=2007,
)
HINTON_2012 = Source(
    key="hinton-2012", who="Hinton et al.", where="HortScience 2012, acemap.info/paper/121975650", year=2012
)
WU_2017 = Source(
    key="wu-2017",
    who="Wu, Chandra, Genovesi, Meeks",
    year=2017,
    title="Freezing tolerance of zoysiagrass",
    where="doi 10.2134/itsrj2016.05.0427",
)
DUNN_1999 = Source(key="dunn-1999", who="Dunn et al.", where="HortScience 34:96", year=1999)
JOHNSTON_DICKENS_1977 = Source(
    key="johnston-dickens-1977",
    who="Johnston and Dickens",
    year=1977,
    title="Cold tolerance of centipedegrass",
    where="Agronomy Journal 69, doi 10.2134/agronj1977.00021962006900010026x",
)
BUSH_2000 = Source(key="bush-2000", who="Bush et al.", where="HortScience 35:187", year=2000)
QIAN_2001 = Source(
    key="qian-2001", who="Qian et al.", where="Crop Science 41, doi 10.2135/cropsci2001.4141174x", year=2001
)

# --- mowing --------------------------------------------------------------------------------------------------------

UF_PINELLAS = Source(
    key="uf-pinellas-mowing",
    who="Badurek, UF/IFAS Extension Pinellas County, citing Mowing Your Florida Lawn (LH028)",
    where="tampabay.com/features/homeandgarden/timely-tendings-mowing-tips",
)
UF_CLAY = Source(
    key="uf-clay-mowing",
    who="UF/IFAS Extension Clay County",
    title="Mowing tips for Clay County",
    where="blogs.ifas.ufl.edu/clayco/2018/06/04/mowing-tips-for-clay-county",
    year=2018,
)
UGA_GREENUP = Source(
    key="uga-waltz-greenup",
    who="Waltz, Univ. of Georgia",
    title="Spring greenup problems",
    where="ugaurbanag.com/spring-greenup-problems",
)
LSU_BOCK_2012 = Source(
    key="lsu-bock-2012",
    who="Bock, LSU AgCenter",
    title="Maintain your summer lawn",
    where="lobservateur.com/2012/07/11/maintain-your-summer-lawn",
    year=2012,
)
LSU_ROGERS = Source(
    key="lsu-rogers",
    who="Rogers, LSU AgCenter",
    title="Establishing a lawn care routine",
    where="lsuagcenter.com/portals/our_offices/parishes/lincoln",
)
AGRILIFE_RICHTER = Source(
    key="agrilife-richter-2020",
    who="Richter, Texas A&M AgriLife Extension, Brazos County",
    where="theeagle.com",
    year=2020,
)
UC_IPM = Source(
    key="uc-ipm-mowing",
    who="Univ. of California IPM",
    title="Mowing warm-season grasses",
    where="ipm.ucanr.edu/TOOLS/TURF/MAINTAIN/mowwarmseas.html",
    year=2017,
)
UF_OKALOOSA = Source(
    key="uf-okaloosa-spring",
    who="UF/IFAS Extension Okaloosa County",
    where="archive.crestviewbulletin.com/?p=22702",
)
MSU_RECTOR = Source(
    key="msu-rector-2019", who="Rector, Mississippi State Extension", where="vicksburgpost.com, 2019", year=2019
)
NC_BERMUDA = Source(
    key="nc-bermuda-calendar",
    who="NC State Extension",
    title="Bermudagrass lawn maintenance calendar",
    where="content.ces.ncsu.edu/bermudagrass-lawn-maintenance-calendar; older edition "
    "digital.ncdcr.gov/Documents/Detail/bermudagrass-lawn-maintenance-calendar/3373844",
)
NC_ZOYSIA = Source(
    key="nc-zoysia-calendar",
    who="NC State Extension",
    title="Zoysiagrass lawn maintenance calendar",
    where="content.ces.ncsu.edu/zoysiagrass-lawn-maintenance-calendar",
)
NC_CENTIPEDE = Source(
    key="nc-centipede-older",
    who="NC State Extension",
    title="Centipedegrass lawn maintenance calendar (older edition)",
    where="studylib.net/doc/13384840",
)
UF_ESCAMBIA = Source(
    key="uf-escambia-2016",
    who="UF/IFAS Extension Escambia County",
    where="blogs.ifas.ufl.edu/escambiaco/2016/06/28/964",
    year=2016,
)
UF_NORTHWEST = Source(
    key="uf-northwest-mowing",
    who="Leonard, UF/IFAS Northwest District",
    where="nwdistrict.ifas.ufl.edu/hort/category/mowing",
)
AGRILIFE_SMITH = Source(
    key="agrilife-perkins-2019",
    who="Perkins, Texas A&M AgriLife Extension, Smith County",
    where="tylerpaper.com/?p=513127",
    year=2019,
)
MSU_NAGEL_1996 = Source(
    key="msu-nagel-1996",
    who="Nagel, Mississippi State Extension",
    title="Damaged lawns struggle to recover",
    where="extension.msstate.edu/news/feature-story/1996/damaged-lawns-struggle-recover",
    year=1996,
)
UF_COLD_DAMAGE = Source(
    key="uf-cold-damage",
    who="UF/IFAS Gardening Solutions",
    title="Cold damage to turf",
    where="gardeningsolutions.ifas.ufl.edu/new/lawns/lawn-care/cold-damage-to-turf.html",
)


# --- recovery seen in pictures ---------------------------------------------------------------------------------------

KARCHER_2005 = Source(
    key="karcher-2005",
    who="Karcher, Richardson, Landreth, McCalla",
    title="Recovery of bermudagrass from divots, photographed until it closed and told as days to half cover",
    where="Applied Turfgrass Science, doi 10.1094/ATS-2005-0117-01-RS",
    year=2005,
)
WRIGHT_2017 = Source(
    key="wright-2017",
    who="Wright et al. (author from memory)",
    title="Statistical design and analysis for plant cover studies with multiple sources of observation errors: at "
    "least three visits pay off",
    where="acemap.info/paper/307611064",
    year=2017,
)
CLOPPER_PEARSON_1934 = Source(
    key="clopper-pearson-1934",
    who="Clopper, Pearson",
    title="The use of confidence or fiducial limits illustrated in the case of the binomial",
    where="Biometrika 26:404-413",
    year=1934,
)

"""More sources that facts point to: feeding, water, repair, identification, waiting and safety.

Split from `sources.py` only to keep both files short. A county agent's column is cited by the extension service that
the agent writes for and by where the column can be read.
"""

from __future__ import annotations

from rules.facts.fact import Source

# --- feeding -------------------------------------------------------------------------------------------------------

UF_EP221 = Source(
    key="uf-ep221",
    who="UF/IFAS Florida-Friendly Landscaping",
    title="A guide to Florida-Friendly landscaping, Table 2 (from EP221)",
    where="edis.ifas.ufl.edu/EP221; yumpu.com/en/document/view/30608282",
)
MARION_CODE = Source(key="marion-19-247", who="Marion County, Florida", title="County code, section 19-247")
UF_EP353 = Source(
    key="uf-ep353",
    who="Trenholm, UF/IFAS",
    title="Urban turf fertilizer rule for home lawn fertilization (rule 5E-1.003)",
    where="edis.ifas.ufl.edu/EP353; yumpu.com/en/document/view/33389138",
)
UF_ENH73 = Source(
    key="uf-enh73", who="McCarty, Cisar, UF/IFAS", title="ENH-73", where="docslib.org/doc/2582559", year=1995
)
UF_ENH73_POTASH = Source(key="uf-enh73-potash", who="UF/IFAS", title="ENH-73", where="yumpu.com document 19132143")
UGA_POTASH = Source(
    key="uga-coastal-potash",
    who="Univ. of Georgia Coastal Botanical Gardens (Clemson text)",
    year=2023,
)
CLEMSON_COLUMN = Source(
    key="clemson-green",
    who="Clemson Extension column",
    title="Green is for grow",
    where="indexjournal.com",
)
NC_LAWN_ENVIRONMENT = Source(
    key="nc-lawn-environment",
    who="NC State Extension",
    title="Caring for your lawn and the environment",
    where="content.ces.ncsu.edu/caring-for-your-lawn-and-the-environment",
)
UGA_EVANS = Source(
    key="uga-evans-747",
    who="Univ. of Georgia Extension, Evans County",
    where="site.extension.uga.edu/evansag/?p=747",
)
UGA_APPLING = Source(
    key="uga-appling-centipede",
    who="Univ. of Georgia Extension, Appling County",
    where="site.extension.uga.edu/applingcrop/?p=1111",
)
AGRILIFE_BEXAR_2008 = Source(
    key="agrilife-bexar-2008",
    who="Texas A&M AgriLife Extension, Bexar County",
    where="bexar-tx.tamu.edu",
    year=2008,
)
UGA_SOIL_65 = Source(
    key="waltz-soil-65",
    who="Waltz, Univ. of Georgia",
    title="Spring green-up and timing nitrogen applications to soil temperature",
    where="ugaurbanag.com/spring-green-timing-nitrogen-applications-temperature",
)
UGA_TWO_WEEKS = Source(
    key="uga-two-warm-weeks",
    who="Gardner, Univ. of Georgia, Glynn County",
    title="The soil is not warm enough: 65 F for two weeks before feeding",
    where="bryancountynews.com",
)
UGA_TWO_MOWINGS = Source(
    key="uga-two-mowings",
    who="Gardner, Univ. of Georgia Extension",
    title="Take on all centipede",
    where="bryancountynews.com",
)
VT_GOATLEY_2010 = Source(
    key="vt-goatley-2010", who="Goatley, Virginia Cooperative Extension", where="sovanow.com", year=2010
)
UGA_ROCKDALE_2023 = Source(
    key="uga-rockdale-2023",
    who="Univ. of Georgia Extension column",
    where="rockdalenewtoncitizen.com, 14 May 2023",
    year=2023,
)
LSU_GILL = Source(key="lsu-gill", who="Gill, LSU AgCenter", title="Greening of Louisiana")
LSU_KOSKE_2005 = Source(
    key="lsu-koske-2005", who="Koske, LSU AgCenter", title="Homeowners, start your lawns", year=2005
)
AGRILIFE_GRANT_2021 = Source(
    key="agrilife-grant-2021",
    who="Grant, Texas A&M AgriLife Extension, Smith County",
    title="The grass is always greener",
    where="garden column",
    year=2021,
)
AGRILIFE_WOODSON_2010 = Source(
    key="agrilife-woodson-2010",
    who="Woodson, Texas A&M AgriLife Extension",
    title="St. Augustine lawns damaged by cold winter",
    where="beadribble.tamu.edu/news/2010/st-augustine-lawns-damaged-by-cold-winter",
    year=2010,
)
AGRILIFE_BEGNAUD = Source(
    key="agrilife-begnaud",
    who="Begnaud, Texas A&M AgriLife Extension, San Angelo",
    where="gosanangelo.com",
)
UK_2014 = Source(
    key="uky-2014",
    who="Munshaw, Williams, Univ. of Kentucky",
    where="uky.edu/Ag/ukturf/5-27-14.html",
    year=2014,
)
UF_DUVAL_2021 = Source(
    key="uf-duval-2021",
    who="Figart, UF/IFAS Extension Duval County",
    title="Essential tips for fertilizing your lawn",
    where="jacksonville.com/story/lifestyle/home-garden/how-to/2021/03/20",
    year=2021,
)
RUTGERS_SPREADER = Source(
    key="rutgers-spreader",
    who="Rutgers Univ.",
    title="Fertilizer spreader page",
    where="snyderfarm.rutgers.edu/fertspreader2.html",
)
MN_PHOSPHORUS = Source(
    key="mn-phosphorus",
    who="Capitol Region Watershed District, Minnesota",
    title="Minnesota phosphorus law",
    year=2005,
)
TAHOE_PHOSPHORUS = Source(
    key="state-phosphorus-laws", who="Tahoe BMP", title="Fertilizer science", where="tahoebmp.org/FertilizerScience"
)
UMN_LABEL = Source(
    key="umn-label",
    who="Univ. of Minnesota Extension",
    title="Understanding and using lawn fertilizers: getting what you paid for, Tables 7.3 and 7.4",
    where="extension.umn.edu/garden/landscaping/maint/selectin_1.html",
)
UF_BAKER = Source(
    key="uf-baker-iron",
    who="UF/IFAS Extension Baker County",
    title="Fertilization calendar",
    where="baker.ifas.ufl.edu/FertilizationCalendar.html",
)
BIOSTIMULANT_REVIEW = Source(key="pmc7154814", who="Review of plant biostimulants", where="PMC7154814")
BIOSTIMULANT_TURF = Source(
    key="biostimulant-turf-2023",
    who="Mackiewicz-Walec, Olszewska",
    where="Agriculture 13(9):1796",
    year=2023,
)
UARK_2008 = Source(key="uark-2008", who="Univ. of Arkansas", title="Turf tips, 19 March 2008", year=2008)

UF_OKALOOSA_LABEL = Source(
    key="uf-okaloosa-label",
    who="UF/IFAS Extension Okaloosa County",
    title="Fertilizing your home lawn",
    where="blogs.ifas.ufl.edu/okaloosaco/fertilizing-your-home-lawn",
)
MICHIGAN_CALHOUN = Source(
    key="michigan-calhoun-gdd",
    who="Calhoun, Michigan State Univ., as quoted",
    title="Turf management by the numbers",
    where="sportsfieldmanagementmagazine.com/maintenance/turf-management-by-the-numbers",
)

# --- water ---------------------------------------------------------------------------------------------------------

CLEMSON_WINTER_WATER = Source(
    key="clemson-winter-water",
    who="Clemson Univ.",
    year=2020,
    title="Winter irrigation for turfgrass lawns: an inch after three weeks without rain",
    where="Clemson Cooperative Extension",
)
UF_PASCO_2011 = Source(
    key="uf-pasco-2011",
    who="Jarvis, UF/IFAS Extension Pasco County",
    title="Helping the lawn",
    where="lakerlutznews.com/helping-the-lawn",
    year=2011,
)
UGA_LANDRY = Source(
    key="uga-landry",
    who="Landry, Univ. of Georgia",
    where="CAES newswire, p=21866",
)
UF_WATER_LECTURE = Source(key="uf-enh9", who="UF/IFAS", title="ENH9 lecture", where="scribd.com document 563925146")
PURDUE_INCH = Source(
    key="purdue-inch",
    who="Purdue Landscape Report",
    title="What is an inch of water?",
    where="purduelandscapereport.org/article/what-is-an-inch-of-water",
)
NMSU_INCH = Source(
    key="nmsu-inch-2014",
    who="New Mexico State Univ. Extension",
    title="Yard and garden, 25 January 2014",
    where="aces.nmsu.edu/ces/yard/archives/january-25-2014.html",
    year=2014,
)
AGRILIFE_RICHARDSON = Source(
    key="agrilife-freeze-water", who="Texas A&M AgriLife Extension, with the Red Cross", where="richardsontoday.com"
)
UF_SOD_WATER = Source(
    key="uf-new-sod-water",
    who="UF/IFAS text",
    title="Establishing sod",
    where="seen as a copy",
)

# --- repair --------------------------------------------------------------------------------------------------------

CLEMSON_RENOVATION = Source(key="clemson-renovation", who="Clemson HGIC", title="Lawn renovation")
URI_RENOVATION = Source(key="uri-renovation", who="Univ. of Rhode Island, as reported", where="gardenguides.com")
OSU_SEED = Source(
    key="osu-bermuda-seed",
    who="Oklahoma State Univ. Extension agent",
    where="swoknews.com",
)
GEORGIA_ZOYSIA = Source(
    key="georgia-zoysia-90-days", who="Georgia horticulture column", where="walterreeves.com/?p=15987"
)
OSU_ESTABLISH = Source(key="osu-hla-6419", who="Oklahoma State Univ.", title="HLA-6419", where="extension.okstate.edu")
UF_ALACHUA_2011 = Source(
    key="uf-alachua-2011",
    who="UF/IFAS Extension Alachua County",
    where="gainesville.com/news/20110326",
    year=2011,
)
MSU_P1322 = Source(
    key="msu-p1322",
    who="Mississippi State Extension",
    title="P1322, Establish and manage your home lawn",
    where="extension.msstate.edu/publications/establish-and-manage-your-home-lawn",
)
TEXAS_CARPETGRASS = Source(
    key="texas-carpetgrass", who="Texas extension text", title="Carpetgrass", where="agricultureinformation.com"
)
USDA_BUFFALO = Source(key="usda-buffalo", who="USDA and Texas Parks and Wildlife, as quoted", where="discussdenton.com")
UF_SOD_COPY = Source(
    key="uf-new-sod-feeding",
    who="UF/IFAS text, as copied",
    title="Establishing a lawn: first feeding of new sod",
    where="seen as a copy",
)
PURDUE_AY22 = Source(
    key="purdue-ay22",
    who="Purdue Univ.",
    title="AY-22, calculating the pounds of fertilizer to apply",
    where="turf.purdue.edu/calculating-the-pounds-of-fertilizer-to-apply-3",
)
NEBRASKA_CALC = Source(
    key="nebraska-lawn-calc",
    who="Univ. of Nebraska-Lincoln",
    title="Lawn fertilizer calculations",
    where="byf.unl.edu/LawnFertCalc",
)

# --- heat sums -----------------------------------------------------------------------------------------------------

PURDUE_GDD = Source(
    key="purdue-gdd",
    who="Patton, Purdue Univ., as reprinted",
    title="What is a growing degree day?",
    where="turfmagazine.com/the-latest/use-growing-degree-days-to-better-time-your-application",
)
MSU_GDD = Source(
    key="michigan-gdd",
    who="Michigan State Univ.",
    title="Growing degree days",
    where="portal.gddtracker.msu.edu",
)
FLOURNOY_2017 = Source(
    key="flournoy-2017",
    who="Flournoy, Mississippi State Univ.",
    where="scholarsjunction.msstate.edu/td/4234",
    year=2017,
)

# --- telling grasses apart -----------------------------------------------------------------------------------------

UF_EP646 = Source(key="uf-ep646", who="UF/IFAS", title="EP646", where="edis.ifas.ufl.edu/publication/EP646")
LSU_CARPETGRASS = Source(
    key="lsu-carpetgrass-2009", who="LSU AgCenter", title="Carpetgrass is a sustainable option", year=2009
)
UK_AGR251 = Source(key="uky-agr251", who="Univ. of Kentucky", title="AGR-251")

# --- what to leave alone -------------------------------------------------------------------------------------------

MSU_WILBER_2022 = Source(
    key="msu-wilber-2022",
    who="Wilber, McCurdy et al., Mississippi State Univ.",
    title="St. Augustinegrass establishment from plugs",
    where="ITS Research Journal, doi its2.79",
    year=2022,
)
UGA_MACON_2018 = Source(key="uga-macon-2018", who="Univ. of Georgia Extension column", where="macon.com", year=2018)
UGA_AERATE_2010 = Source(
    key="uga-waltz-woodworth-2010",
    who="Waltz, Woodworth, Univ. of Georgia",
    where="newswire.caes.uga.edu/story/3808",
    year=2010,
)
PURDUE_WINTERKILL = Source(
    key="purdue-winterkill",
    who="Purdue Univ.",
    title="Winterkill in warm-season turfgrasses",
    where="turf.purdue.edu/winterkill-in-warm-season-turfgrasses",
)
AUBURN_TAKE_ALL = Source(
    key="auburn-take-all", who="Auburn Univ. / ACES", title="Take-all root rot on St. Augustinegrass"
)

# --- safety --------------------------------------------------------------------------------------------------------

EPA_LABEL = Source(key="epa-label", who="US EPA", where="nepis P100O14C")
EPA_HOME = Source(key="epa-home", who="US EPA", where="nepis P100O14D")
NPIC_EXPOSURE = Source(key="npic-exposure", who="National Pesticide Information Center", title="Minimizing exposure")
WISCONSIN_ATCP29 = Source(key="wisconsin-atcp29", who="Wisconsin Dept. of Agriculture", title="ATCP 29")
MOWER_SAFETY = Source(
    key="mower-safety",
    who="Mower safety columns",
    where="daytondailynews.com 2022; safetymoment.org",
)
DIG_811 = Source(
    key="dig-811",
    who="Utility notices on the 811 call",
    where="demco.org; floridacurrents.com",
)
FYN_GUIDE = Source(
    key="uf-fyn-guide",
    who="UF/IFAS Florida Yards and Neighborhoods",
    title="Spreading near water and hard surfaces",
    where="yumpu.com/en/document/view/30608282, p. 57; floridayards.org tutorial 3",
)
FREEZE_UTILITY = Source(
    key="freeze-utility-notices",
    who="City and utility freeze notices",
    where="1025kiss.com (Lubbock); wtaw.com (College Station) 2017",
)

// SPDX-License-Identifier: MIT
#include <map>

#include "engine/cli/options.h"

namespace spanwright::cli {

namespace {

constexpr const char* kMain = R"(spanwright: calculates the timber members of a building from plain text

usage: spanwright COMMAND [OPTIONS]

  check FILE              schedule, checks, what is assumed and what is missing
  working FILE NAME       how one value came about
  set FILE NAME VALUE     state a value in the file; every other byte stays
  report FILE             the printable calculation, one self-contained page
  cut JOB                 what to buy and how to cut it
  price JOB               what it costs, and each member's share
  compare JOB MARK...     alternatives side by side
  bench JOB               pages in large print for beside the saw
  joints JOB MARK         where to join webs and flanges, from stock lengths
  sheets                  the ready sheets
  start JOB --with SHEET  a new job that asks for all it needs
  tidy FILE               align the columns of a sheet or job
  vary FILE --over RANGE  a table or plot over one to three values
  reach FILE --largest L  how far a value can go so that every check passes
  weigh FILE NAME         which stated values weigh most on a check or quantity
  sure FILE               does it still hold within the stated tolerances
  tick JOB NAME           put a reviewer's tick behind a value
  explain [CODE]          what a diagnostic's code means

FILE is a job (*.spanjob) or a single sheet (*.spansheet).

a first job
  spanwright sheets                            what there is
  spanwright start shed --with eu/floor-joist  writes shed.spanjob
  (fill in the values that it asks for, with any editor)
  spanwright check shed.spanjob                what holds and what does not
  spanwright working shed.spanjob M1.M_d       and why
  spanwright report shed.spanjob               writes shed.html, to be printed

options of all commands
  --sheets FOLDER   where the ready sheets are, instead of SPANWRIGHT_SHEETS
  -h, --help        this page; `spanwright COMMAND --help` says more
  -V, --version     the version

exit status
  0  all members are OK
  1  something could not be read or computed
  2  the command line is wrong
  3  all was computed, and something FAILS or is NOT PROVEN

Nothing here is a permit. The local code and a licensed engineer rule.
)";

constexpr const char* kCheck = R"(usage: spanwright check FILE [--member MARK] [--set NAME=VALUE]... [--explain]
                        [--json | --csv]

Calculates a job or a single sheet and prints the schedule, then for each member
its checks with the governing one first, what is required besides, what is not
stated, what is assumed, and the cautions.

  -m, --member MARK      only this member; the exit status is its own
  -s, --set NAME=VALUE   take another value, only here and now, not in the file
  -e, --explain          what each check means, in plain words
      --json             everything, for other programs (check.schema.json)
      --csv              the schedule as a table

examples
  spanwright check shed.spanjob
  spanwright check shed.spanjob --member J1 --explain
  spanwright check shed.spanjob --set J1.L='4.1 m' --set J1.grade=C30
  spanwright check floor-joist.spansheet --set L='4.1 m' --set grade=C24

exit status: 0 all OK, 1 not read or not computed, 2 wrong usage, 3 FAILS or NOT
PROVEN
)";

constexpr const char* kWorking = R"(usage: spanwright working FILE NAME [--deep N] [--case LABEL]
                          [--set NAME=VALUE]...

Shows how one value came about: its formula, the same with the values put in,
the result, the source, what it comes from and what it feeds, and the letters
that a reviewer's tick is bound to.

  -d, --deep N           also the workings behind it, N steps back
  -c, --case LABEL       of this case instead of the governing one
  -s, --set NAME=VALUE   take another value, here and now

NAME is MARK.NAME in a job, NAME in a single sheet.

examples
  spanwright working shed.spanjob J1.M_d
  spanwright working shed.spanjob J1.bending --deep 2
  spanwright working floor-joist.spansheet M_d --case 'uls 2'
)";

constexpr const char* kSet = R"(usage: spanwright set FILE NAME VALUE

States a value in the file: an ask, a given, a choice or a link. Comments,
spacing, order and every other byte stay. The file is replaced as a whole or not
at all.

examples
  spanwright set shed.spanjob J1.L '4.1 m'
  spanwright set shed.spanjob J1.grade C30
  spanwright set shed.spanjob H1.w_G 'J1.R_G/J1.s'
  spanwright set shed.spanjob snow '1.8 kN/m^2'      (the job's own given)
)";

constexpr const char* kReport = R"(usage: spanwright report FILE [-o OUT] [--as FORM] [--member MARK]...
                         [--brief] [--size SIZE] [--plots FOLDER]
                         [--set NAME=VALUE]...

Writes the printable calculation: cover, cautions, contents, assumptions, load
path, schedule, then each member with every step in three columns: reference,
calculation, result. As HTML one page that needs nothing else; as PDF pages to
print, with a margin for remarks (PDF comes with the window, spanwright-desk).

  -o, --out OUT          where to; beside FILE as NAME.html if not given, - for
                         standard output
      --as FORM          html, text, json, csv (the schedule) or pdf; otherwise
                         OUT's ending decides
  -m, --member MARK      only this member's calculation (again for each further
                         one); the cover says so, the schedule holds all
  -b, --brief            of each member only what is stated, checks, sketches
      --size SIZE        of a PDF's paper: a4 (if not given) or letter
      --plots FOLDER     also each plot as an SVG file in this folder
  -s, --set NAME=VALUE   take another value, here and now; the cover says so

examples
  spanwright report shed.spanjob
  spanwright report shed.spanjob -o /srv/print/shed.html
  spanwright report shed.spanjob -o ridge.pdf --member R1 --member P1
  spanwright report shed.spanjob -o - --as text --brief | less

The exit status is that of `spanwright check`.
)";

constexpr const char* kCut = R"(usage: spanwright cut JOB [--json | --csv] [--drawings FOLDER] [--seconds N]
                      [--progress] [--prices FILE] [--set NAME=VALUE]...

Plans how all pieces of the job are cut from its stock: what to buy, each board
and panel with its pieces, the cut list, what members weigh and who lifts them.
It says how good the plan is: `9 boards; at least 9 are needed`. Members that
stand `instead of` others are left out.

      --json               everything, for other programs
      --csv                the cut list, a line for each part
      --drawings FOLDER    each board or panel as an SVG file, to scale; the
                           folder is made if it is not there
      --seconds N          how hard to try for each material, 2 if not given;
                           counted in work, so the plan is the same everywhere
      --progress           say when a better plan is found
  -p, --prices FILE        take these prices instead of the job's
  -s, --set NAME=VALUE     take another value, here and now

examples
  spanwright cut shed.spanjob
  spanwright cut shed.spanjob --csv > cut-list.csv
  spanwright cut shed.spanjob --drawings drawings

exit status: 0 all pieces are planned, 1 something could not be read or planned,
2 wrong usage
)";

constexpr const char* kPrice = R"(usage: spanwright price JOB [--prices FILE] [--workings] [--json | --csv]
                        [--seconds N] [--set NAME=VALUE]...

The bill: material bought whole, consumables, wear of tools, labour, overhead,
and each member's share of it. Shares add up to the bill to the last cent. Where
prices carry a range (`3.90 EUR/m +- 0.30 EUR/m`) the bill says from what to
what it comes: all prices at their lowest, all at their highest.

  -p, --prices FILE        take these prices instead of the job's
  -w, --workings           how each number came about
      --json, --csv        the bill for other programs
      --seconds N          how hard to plan, as in `spanwright cut`
  -s, --set NAME=VALUE     take another value, here and now

examples
  spanwright price shed.spanjob --workings
  spanwright price shed.spanjob --prices autumn.csv

exit status: 0 every price is dated and holds on the job's date, 1 something
could not be read, planned or priced, 2 wrong usage, 3 the total is NOT PROVEN
)";

constexpr const char* kCompare = R"(usage: spanwright compare JOB MARK MARK... [--json] [--prices FILE]
                          [--seconds N] [--set NAME=VALUE]...

Puts members side by side, each planned and priced for itself alone: governing
check, deflection, depth, mass, pieces, hours and cost, with the differences
from the first.

example
  spanwright compare shed.spanjob R1 R2 R3

exit status: as of `spanwright price`
)";

constexpr const char* kBench = R"(usage: spanwright bench JOB [-o OUT] [--inches] [--prices FILE] [--seconds N]
                        [--set NAME=VALUE]...

Writes pages in large print for beside the saw: a page for each board and panel
with its cuts as tape readings from one end, grooves pass by pass, a jig table
where the depth varies, a bond log to fill in, a page on lifting and setting.

  -o, --out OUT            where to; JOB-bench.html if not given; *.txt and
                           *.pdf give those forms, - standard output
      --inches             tape readings in feet and inches to 1/16 in

example
  spanwright bench shed.spanjob -o bench.html
)";

constexpr const char* kJoints = R"(usage: spanwright joints JOB MARK [--write]

Proposes where the web panels and flange pieces of a beam are joined, from the
lengths of the job's stock: every rule and check of its sheet that reads the
lists of joints holds; of the sets of joints that are tried, that is the one
that buys the least stock for the member times its count, so wastes the least,
then the one of fewest joints, then the cheapest. It says why, and what the
next best was, how many sets were tried, and whether it is proven that no other
joints buy less. Plates and strengths are those of the first joint stated.

      --write              write it into the job, as the member's own lists

example
  spanwright joints shed.spanjob R1 --write

exit status: 0 proposed, 1 none can be proposed, 2 wrong usage
)";

constexpr const char* kSheets = R"(usage: spanwright sheets [--sheets FOLDER]

Lists the ready sheets: name, purpose and the standard that each follows.

example
  spanwright sheets
)";

constexpr const char* kStart = R"(usage: spanwright start JOB --with SHEET

Writes a new job of one member in which every value that the sheet asks for is
written out, to be filled in. A file that is there already is left alone.

  -w, --with SHEET       a ready sheet, as `spanwright sheets` names it

example
  spanwright start shed --with eu/floor-joist        writes shed.spanjob
)";

constexpr const char* kTidy = R"(usage: spanwright tidy FILE

Aligns the names, values and remarks of neighbouring rows. Changes nothing but
blanks, and nothing at all the second time.

example
  spanwright tidy shed.spanjob
)";

constexpr const char* kTick = R"(usage: spanwright tick JOB NAME --by WHO --on DATE

Puts a reviewer's tick behind a value: a row in the job with letters that stand
for everything the value rests on. When any of that changes the tick is shown as
out of date.

  --by WHO     who has checked it
  --on DATE    when, as 2026-05-04

example
  spanwright tick shed.spanjob J1.M_d --by AB --on 2026-05-04
)";

constexpr const char* kVary = R"(usage: spanwright vary FILE --over RANGE [--over RANGE]... [--show NAME...]
                       [--largest NAME | --smallest NAME] [--plot FILE.svg]
                       [--set NAME=VALUE]... [--json | --csv] [--pin]

Calculates the job at every value of a range or list, with everything that
follows from it, through links into other members too: the greatest utilisation,
its check, the verdict and what is shown. Up to three values at once.

      --over RANGE       'h from 200 mm to 400 mm by 10 mm', 's in 3 ft, 4 ft',
                         'grade in C24, C30', or a choice's name: all its rows
      --show NAME...     rows and checks to show; a check shows its utilisation
      --largest NAME     a span table: at each point the largest NAME with which
                         every check passes ('L from 1 m to 9 m' if wanted)
      --smallest NAME    the same, the smallest
      --plot FILE.svg    draws it; what does not pass is hatched
      --pin              writes the trial into the job as a row: its report then
                         works it out anew each time
  -s, --set NAME=VALUE   take another value, here and now
      --json, --csv      numbers in full, for other programs

Points where a row has no value (a table's edge, a division by zero, a value
outside its limits) are not computed; the others stand.

examples
  spanwright vary shed.spanjob --over 'J1.h from 160 mm to 260 mm by 20 mm'
  spanwright vary shed.spanjob --over J1.grade --show J1.w_fin --plot grade.svg
  spanwright vary floor-joist.spansheet --over 'grade in C24, C30' \
      --over 'h in 170 mm, 195 mm, 220 mm' --over 's in 400 mm, 600 mm' \
      --largest L --set q_k='2 kN/m^2'

exit status: 0 the table was made, 1 it could not be, 2 wrong usage
)";

constexpr const char* kReach = R"(usage: spanwright reach FILE (--largest NAME | --smallest NAME |
                        --with NAME --until NAME=VALUE)
                        [--within VALUE] [--by FORMULA] [--apply]
                        [--set NAME=VALUE]... [--json] [--pin]

Finds how far a value can go so that every check of every member that it reaches
passes, or where a quantity has a value. It samples the range first, shows all
stretches that pass, says how finely it looked, and names the check that ends
the answer. Among the rows of a choice or a list it takes the first or last that
passes; where its sheet holds a value to whole numbers, among all of these.

      --largest NAME     'L', or 'L from 2 m to 6 m', or 'h in 195 mm, 220 mm'
      --smallest NAME    the same, the smallest
      --with NAME        the value to be found, with
      --until NAME=VALUE the quantity and what it is to be; of a check its
                         utilisation
      --within VALUE     how closely the ends are to be known
      --by FORMULA       rows or values of a list in the order of this formula,
                         as in --by 'b*h'; of a choice also over fields of
                         its rows: --by 'price*b*h', 'section.price*L'
      --apply            writes the answer into the file, as `spanwright set`
      --pin              writes the question into the job, for its report
  -s, --set NAME=VALUE   take another value, here and now
      --json             the answer for other programs

examples
  spanwright reach shed.spanjob --largest J1.L
  spanwright reach shed.spanjob --smallest 'J1.h from 150 mm to 400 mm'
  spanwright reach shed.spanjob --smallest J1.grade --apply
  spanwright reach shed.spanjob --with J1.h --until J1.w_fin='12 mm'

exit status: 0 found, 1 not read or not computed, 2 wrong usage, 3 none passes
)";

constexpr const char* kWeigh = R"(usage: spanwright weigh FILE NAME [--plot FILE.svg] [--set NAME=VALUE]...
                        [--json] [--pin]

Which stated values weigh most on a quantity, or on a check's utilisation: by
how many per cent it changes for one per cent of each, the heaviest first,
through links into other members. Exact where the formulas can be
differentiated, else by small differences; which, is said.

      --plot FILE.svg    draws the ranking
      --pin              writes the question into the job, for its report
  -s, --set NAME=VALUE   take another value, here and now
      --json             numbers in full, for other programs

examples
  spanwright weigh shed.spanjob J1.bending
  spanwright weigh floor-joist.spansheet w_fin --set L='4 m' --plot weights.svg
)";

constexpr const char* kSure = R"(usage: spanwright sure FILE [--member MARK] [--samples N] [--seed N] [--normal]
                       [--calculated] [--plots FOLDER] [--set NAME=VALUE]...
                       [--json] [--pin]

Members whose values have tolerances (`given b = 58 mm +- 3 mm` in a sheet, or
`with b = 58 mm +- 3 mm` in a job): how far each value alone may go, the worst
case of all together, and a sampling with its distribution. A worst case is
called proved only when interval arithmetic proves it; otherwise it says at how
many places no failure was found.

Where it would take long to calculate every sample, some hundred places are
calculated and the samples read off smooth surfaces through them. It says how
far these were off at samples calculated beside them; where that is more than
0.0005 of a utilisation, or where anything but utilisations decides, samples are
calculated.

  -m, --member MARK    only this member
      --samples N      how many; 10000 if not said, fewer where that takes long
      --calculated     every sample calculated, however long that takes
      --seed N         another one gives other samples; the same the same
      --normal         normally distributed, the tolerance being two standard
                       deviations; otherwise evenly within it
      --plots FOLDER   each check's distribution as an SVG file
      --pin            writes the trial into the job, for its report
  -s, --set NAME=VALUE take another value, here and now
      --json           numbers in full, for other programs

examples
  spanwright sure shed.spanjob
  spanwright sure shed.spanjob --member J1 --samples 100000 --normal
  spanwright sure shed.spanjob --set J1.b='58 mm +- 3 mm'

exit status: 0 no failure was found, 1 not read or not computed, 2 wrong usage,
3 something fails within its tolerances
)";

constexpr const char* kExplain = R"(usage: spanwright explain [CODE]

Says at more length what a diagnostic's code means; without CODE, all of them.

example
  spanwright explain M303
)";

} // namespace

std::string helpText(const std::string& command) {
    static const std::map<std::string, const char*> kPages = {
        {"check", kCheck}, {"working", kWorking}, {"set", kSet},         {"report", kReport}, {"sheets", kSheets}, {"start", kStart},
        {"tidy", kTidy},   {"tick", kTick},       {"explain", kExplain}, {"cut", kCut},       {"price", kPrice},   {"compare", kCompare},
        {"bench", kBench}, {"joints", kJoints},   {"vary", kVary},       {"reach", kReach},   {"weigh", kWeigh},   {"sure", kSure}};
    const auto it = kPages.find(command);
    return it == kPages.end() ? kMain : it->second;
}

} // namespace spanwright::cli

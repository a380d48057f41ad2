// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

#include "engine/report/facts.h"

/// A made-up job as facts: an invented packing shed with one member of each verdict. Every text goes
/// through `say`, so that a test can make all of them hostile at once.
namespace spanwright::report::sample {

using Say = std::string (*)(const std::string&);
inline std::string asIs(const std::string& s) { return s; }

inline meaning::Box word(meaning::Box::Kind kind, std::string text) {
    meaning::Box b;
    b.kind = kind;
    b.text = std::move(text);
    return b;
}
inline meaning::Box row(std::vector<meaning::Box> children) {
    meaning::Box b;
    b.children = std::move(children);
    return b;
}
inline meaning::Box sub(const std::string& base, const std::string& index) {
    meaning::Box b;
    b.kind = meaning::Box::Kind::Sub;
    b.children = {word(meaning::Box::Kind::Name, base), word(meaning::Box::Kind::Name, index)};
    return b;
}

inline void addRow(MemberFacts& m, RowFact r) {
    r.view.id = meaning::QuantityId(m.rows.size());
    m.view.quantities.push_back(r.view);
    m.rows.push_back(std::move(r));
}

inline RowFact given(Say say) {
    RowFact r;
    r.kind = meaning::Kind::Given;
    r.part = 1;
    r.view.name = "s";
    r.view.what = say("joist spacing");
    r.view.source = say("common practice");
    r.view.state = eval::State::Known;
    r.view.assumed = true;
    r.view.shown = "400 mm";
    r.view.unitShown = "mm";
    r.formula = "400 mm";
    r.si = 0.4;
    r.siUnit = "m";
    job::Working w;
    w.kind = "given";
    w.name = "s";
    w.state = eval::State::Known;
    w.symbol = word(meaning::Box::Kind::Name, "s");
    w.shown = "400 mm";
    w.letters = "AAA-BBB-CCC";
    r.letters = w.letters;
    r.working = w;
    return r;
}

inline RowFact moment(Say say) {
    using Kind = meaning::Box::Kind;
    RowFact r;
    r.kind = meaning::Kind::Derive;
    r.part = 1;
    r.view.name = "M_d";
    r.view.what = say("design moment at midspan");
    r.view.source = say("EN 1995-1-1 6.1.6");
    r.view.note = say("The joist is bent most at midspan; a shorter span helps most.");
    r.view.state = eval::State::Known;
    r.view.shown = "2.106 kN·m";
    r.view.unitShown = "kN·m";
    r.view.tick = 0;
    r.formula = "w_d·L²/8";
    r.siUnit = "kg·m²/s²";
    r.cases = {{say("uls 1"), 1404.0, "1.404 kN·m"}, {say("uls 2"), 2106.0, "2.106 kN·m"}};
    job::Working w;
    w.kind = "derive";
    w.name = "M_d";
    w.member = "J1";
    w.state = eval::State::Known;
    w.hasFormula = true;
    w.symbol = sub("M", "d");
    meaning::Box square;
    square.kind = Kind::Super;
    square.children = {word(Kind::Name, "L"), word(Kind::Number, "2")};
    meaning::Box fraction;
    fraction.kind = Kind::Fraction;
    fraction.children = {row({sub("w", "d"), word(Kind::Operator, "·"), square}), word(Kind::Number, "8")};
    w.formula = fraction;
    meaning::Box put;
    put.kind = Kind::Fraction;
    put.children = {row({word(Kind::Number, "1.3"), word(Kind::Unit, "kN/m"), word(Kind::Operator, "·"), word(Kind::Number, "3.6"), word(Kind::Unit, "m")}),
                    word(Kind::Number, "8")};
    w.putIn = put;
    w.shown = "2.106 kN·m";
    w.caseLabel = say("uls 2");
    w.details = {say("row 2 of en1990_uls")};
    w.tableSources = {say("en1990_uls: EN 1990:2002 table A1.2(B)")};
    w.letters = "KQ7-MFD-2XH";
    w.comesFrom = {{"J1", "w_d", say("design line load"), "1.3 kN/m"}};
    w.feeds = {{"J1", "bending", say("bending strength"), "0.87"}};
    r.letters = w.letters;
    r.working = w;
    return r;
}

inline RowFact checkRow(Say say, const std::string& name, job::CheckView::State state, std::optional<double> utilisation, std::uint32_t part, MemberFacts& m) {
    RowFact r;
    r.kind = meaning::Kind::Check;
    r.part = part;
    r.view.name = name;
    r.view.what = say("strength of " + name);
    r.view.source = say("EN 1995-1-1 6.1.6");
    r.view.state = state == job::CheckView::State::NotApplicable ? eval::State::NotApplicable
                   : state == job::CheckView::State::NotComputed ? eval::State::Failed
                                                                 : eval::State::Known;
    r.formula = "sigma ≤ f";
    r.siUnit = "kg/(m·s²)";
    job::CheckView c;
    c.id = meaning::QuantityId(m.rows.size());
    c.state = state;
    c.name = name;
    c.what = r.view.what;
    c.source = r.view.source;
    c.note = say("Says whether the timber carries it.");
    c.utilisation = utilisation;
    if (utilisation) {
        c.leftShown = "12.3 N/mm²";
        c.rightShown = "14.1 N/mm²";
        c.governingLabel = say("uls 2");
        c.governingCase = 1;
        c.cases = {{say("uls 1"), 8e6, 14.1e6, *utilisation / 2, job::CheckView::State::Passes}, {say("uls 2"), 12.3e6, 14.1e6, *utilisation, state}};
    }
    if (state != job::CheckView::State::Passes) c.reason = say("because of " + name);
    job::Working w;
    w.kind = "check";
    w.name = name;
    w.member = m.view.mark;
    w.state = r.view.state;
    w.formula = word(meaning::Box::Kind::Name, "σ");
    w.right = word(meaning::Box::Kind::Name, "f");
    w.putIn = row({word(meaning::Box::Kind::Number, "12.3"), word(meaning::Box::Kind::Unit, "N/mm²")});
    w.rightPutIn = row({word(meaning::Box::Kind::Number, "14.1"), word(meaning::Box::Kind::Unit, "N/mm²")});
    w.relation = "≤";
    w.shown = c.leftShown;
    w.rightShown = c.rightShown;
    w.utilisation = utilisation;
    r.working = w;
    m.view.checks.push_back(c);
    return r;
}

inline RowFact plotRow(Say say) {
    RowFact r;
    r.kind = meaning::Kind::Plot;
    r.part = 1;
    r.view.name = "plot1";
    r.view.what = say("bending moment");
    r.view.state = eval::State::Known;
    r.siUnit = "kg·m²/s²";
    job::PlotView p;
    p.name = "plot1";
    p.what = r.view.what;
    p.xName = "x";
    p.xUnit = "m";
    p.yUnit = "kN·m";
    p.curves = {{say("uls 1"), {}}, {say("uls 2"), {}}};
    for (int i = 0; i <= 8; ++i) {
        const double x = 0.45 * i;
        p.x.push_back(x);
        p.curves[0].y.push_back(0.65 * x * (3.6 - x) / 1.5);
        p.curves[1].y.push_back(i == 1 ? NAN : 0.65 * x * (3.6 - x));
    }
    r.plot = p;
    return r;
}

inline MemberFacts member(Say say, const std::string& mark, const std::string& purpose, job::Verdict verdict) {
    MemberFacts m;
    m.view.mark = say(mark);
    m.view.purpose = say(purpose);
    m.view.sheetName = say("eu/floor-joist");
    m.view.sheetTitle = say("Sawn floor joist, uniform load");
    m.view.verdict = verdict;
    m.view.sectionShown = "45 mm by 220 mm";
    m.view.spanShown = "3.6 m";
    m.basis = {say("EN 1995-1-1:2004+A2:2014"), say("EN 1990:2002")};
    m.cautions = {say("Check the notch at the wall plate on site.")};
    m.tableSources = {say("en338: EN 338:2016 table 1"), say("en1990_uls: EN 1990:2002 table A1.2(B)")};
    m.parts = {{}, {say("Bending"), PartFact::Applies::Yes, "", false}, {say("Notch"), PartFact::Applies::No, say("notch > 0 mm"), false}};
    addRow(m, given(say));
    addRow(m, moment(say));
    addRow(m, plotRow(say));
    m.view.assumptions = {{meaning::QuantityId(0U), "s", say("joist spacing"), "400 mm"},
                          {{}, "", "", say("The floor deck holds the compression edge along its length.")}};
    return m;
}

inline JobFacts job(Say say = asIs) {
    using State = job::CheckView::State;
    JobFacts f;
    f.file = say("packing-shed.spanjob");
    f.cover = {say("Orchard packing shed"), say("A. Builder"), "", say("B"), "2026-05-04", say("Upper orchard"), {say("Loads as for a store.")}};
    f.fingerprint = "QRS-TUV-234";
    f.verdict = job::Verdict::NotComputed;
    f.exitStatus = 1;

    MemberFacts joist = member(say, "J1", "loft joists over the store", job::Verdict::Ok);
    joist.view.count = 14;
    joist.view.feedsMembers = {say("B1")};
    addRow(joist, checkRow(say, "bending", State::Passes, 0.872, 1, joist));
    addRow(joist, checkRow(say, "notch_shear", State::NotApplicable, {}, 2, joist));
    joist.view.governing = 0;
    f.members.push_back(joist);

    MemberFacts beam = member(say, "B1", "beam below the joists", job::Verdict::Fails);
    beam.view.readsMembers = {say("J1")};
    addRow(beam, checkRow(say, "bending", State::Fails, 1.0000001, 1, beam));
    beam.view.governing = 0;
    beam.view.reasons = {say("bending: 1.0000001 of what it can carry")};
    beam.notes = {say("Put right by a deeper beam.")};
    beam.view.differs = {say("changed: M_d")};
    f.members.push_back(beam);

    MemberFacts header = member(say, "H1", "over the barn door", job::Verdict::NotProven);
    header.view.notStated = {"q_k"};
    RowFact ask;
    ask.kind = meaning::Kind::Ask;
    ask.part = 1;
    ask.view.name = "q_k";
    ask.view.what = say("imposed load");
    ask.view.state = eval::State::NotStated;
    ask.view.reason = say("the job does not state it");
    ask.siUnit = "kg/(m·s²)";
    addRow(header, ask);
    header.view.reasons = {say("q_k is not stated")};
    f.members.push_back(header);

    MemberFacts broken = member(say, "X1", "", job::Verdict::NotComputed);
    addRow(broken, checkRow(say, "shear", State::NotComputed, {}, 1, broken));
    broken.view.reasons = {say("shear could not be computed")};
    f.members.push_back(broken);

    f.ticks = {{3, say("J1"), "M_d", say("AB"), "2026-05-04", "KQ7-MFD-2XH", job::TickView::State::OutOfDate, say("stated values")}};
    f.remarks = {{say("J1"), "M_d", say("AB"), "2026-05-05", say("span measured on site?")}};
    diag::Diagnostic d;
    d.code = diag::Code::DivisionByZero;
    d.place = {say("floor-joist.spansheet"), 7, {3, 5}};
    d.message = say("this divides by zero");
    d.mend = say("state a depth above 0 mm");
    d.member = say("X1");
    d.labels = {{d.place, say("b is 0 mm")}};
    diag::Resolved at;
    at.line = 8;
    at.column = 12;
    at.lineText = say("derive z = a/b");
    at.markStart = 11;
    at.markWidth = 3;
    f.diagnostics = {{d, at, {std::nullopt}}};
    return f;
}

/// What a malicious or broken sheet might hold.
inline std::string hostile(const std::string& s) {
    return s + std::string("</title></style><script>alert('x')</script>&amp;\"'><b onclick=\"x\">]]>--%> \x1b[31m\x07\xff\xc0\xaf") + std::string(1, '\0') +
           "\xe2\x80\xae"
           "evil\xef\xbf\xbf \xed\xa0\x80 \\\"}; @import url(x);\r\n=1+1";
}

inline std::string readFile(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

} // namespace spanwright::report::sample

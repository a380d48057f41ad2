// SPDX-License-Identifier: MIT
// How far a value can go, and what would make a failing member pass.
#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "engine/report/clean.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"
#include "engine/syntax/formula.h"
#include "engine/units/format.h"

namespace spanwright::report {

using trial::Aim;
using trial::Reach;

namespace {

std::string shown(const Reach& r, double v) { return units::showValue(v, r.what.unit, r.what.show); }

std::string joined(const std::vector<std::string>& list, std::size_t most) {
    std::string out;
    for (std::size_t i = 0; i < list.size() && i < most; ++i) out += (i > 0 ? ", " : "") + list[i];
    if (list.size() > most) out += " and " + std::to_string(list.size() - most) + " more";
    return out;
}

void options(const Reach& r, Section& s) {
    Table t;
    const bool ordered = !r.options.empty() && r.options.front().order.has_value();
    t.columns = {{r.what.name.name, Table::Align::Left, false},
                 {"util.", Table::Align::Right, false},
                 {"verdict", Table::Align::Left, false},
                 {"governing", Table::Align::Left, true}};
    if (ordered) t.columns.insert(t.columns.begin() + 1, {"order", Table::Align::Right, false});
    for (const trial::Option& o : r.options) {
        std::vector<Inlines> row{{plainText(o.label)},
                                 {plainText(std::isnan(o.utilisation)   ? "-"
                                            : std::isinf(o.utilisation) ? "beyond"
                                                                        : units::showUtilisation(o.utilisation))},
                                 {boxedWord(stampOf(o.verdict))},
                                 {plainText(o.governing)}};
        if (ordered) row.insert(row.begin() + 1, Inlines{plainText(o.order ? units::showNumber(*o.order, units::Unit{}) : "-")});
        t.rows.push_back(std::move(row));
    }
    s.blocks.push_back({std::move(t)});
}

void stretches(const Reach& r, Section& s) {
    if (r.stretches.size() < 2) return;
    Bullets list;
    for (const trial::Stretch& p : r.stretches)
        list.items.push_back({{plainText(p.from == p.to ? "at " + shown(r, p.from) : "from " + shown(r, p.from) + " to " + shown(r, p.to))}, {}});
    const std::string what = r.aim == Aim::Until ? " places have that value:" : " separate stretches pass:";
    s.blocks.push_back({Paragraph{{plainText(std::to_string(r.stretches.size()) + what)}}});
    s.blocks.push_back({std::move(list)});
}

} // namespace

Document reachDocument(const Reach& r) {
    Document d;
    Section s;
    const std::string name = r.what.name.name;
    const std::string path = trial::pathText(r.what.name);
    std::string title = r.aim == Aim::Largest ? "largest " : r.aim == Aim::Smallest ? "smallest " : "";
    title += r.aim == Aim::Until ? path + " until " + trial::pathText(r.until->name) + " = " + units::showValue(r.untilValue, r.until->unit, r.until->show)
                                 : path + " with which every check passes";
    s.title = title;
    if (r.cancelled) s.blocks.push_back({Paragraph{{strongText("cancelled: this is not an answer")}}});
    if (r.answer) {
        s.blocks.push_back(
            {Paragraph{{strongText(name + " = " + r.answerShown), plainText(r.what.nowShown.empty() ? "" : "   (now " + r.what.nowShown + ")")}}});
        if (r.aim == Aim::Until) {
            // Said above.
        } else if (r.atEnd) {
            s.blocks.push_back({Paragraph{
                {plainText(r.ofOptions ? "it is the last of those looked at: no check ends it" : "the range looked at ends there, no check does")}}});
        } else {
            const std::string beyond = r.what.table ? r.what.table->rowLabel(static_cast<std::uint32_t>(r.beyond)) : shown(r, r.beyond);
            // Shown with as few digits as the answer, the nearest place beyond it often looks the same.
            const std::string where = beyond == r.answerShown ? "just beyond it does not pass: " : "beyond, at " + beyond + ", does not pass: ";
            s.blocks.push_back({Paragraph{{plainText(where + joined(r.stops, 4))}}});
        }
    } else if (!r.cancelled) {
        s.blocks.push_back({Paragraph{{strongText(r.aim == Aim::Until ? "it is never reached" : "nothing passes")}}});
        Bullets why;
        for (const trial::Hopeless& h : r.hopeless) {
            const std::string at = r.what.table ? r.what.table->rowLabel(static_cast<std::uint32_t>(h.at)) : shown(r, h.at);
            why.items.push_back(
                {{codeText(h.check), plainText(" fails everywhere, at best " + units::showUtilisation(h.utilisation) + " at " + name + " = " + at)}, {}});
        }
        for (std::size_t i = 0; i < r.reasons.size() && i < 8; ++i) why.items.push_back({{plainText(r.reasons[i])}, {}});
        if (!why.items.empty()) s.blocks.push_back({std::move(why)});
    }
    stretches(r, s);
    if (r.ofOptions) {
        options(r, s);
    } else {
        const double apart = (r.to - r.from) / static_cast<double>(r.samples > 1 ? r.samples - 1 : 1);
        std::string how = "looked from " + shown(r, r.from) + " to " + shown(r, r.to);
        if (r.ownRange) how += r.what.low && r.what.high ? " (the limits of its row)" : " (a tenth to ten times its present value)";
        if (r.what.whole) {
            how += ": every whole number, " + std::to_string(r.looked) + " in all";
        } else {
            how += ": " + std::to_string(r.samples) + " places " + shown(r, apart) + " apart, then closer, " + std::to_string(r.looked) +
                   " in all; ends known to " + shown(r, r.tolerance);
            how += "; a stretch narrower than " + shown(r, apart) + " may be missed";
        }
        s.blocks.push_back({Paragraph{{faintText(how)}}});
    }
    d.sections.push_back(std::move(s));
    return d;
}

Document farDocument(const trial::Far& f) {
    Document d;
    Section s;
    const std::string& name = f.what.name.name;
    s.title =
        f.ofOptions ? "which of " + trial::pathText(f.what.name) + " pass" : "how far " + trial::pathText(f.what.name) + " can go with every check passing";
    const auto say = [&s](std::string words) { s.blocks.push_back({Paragraph{{plainText(std::move(words))}}}); };
    if (f.cancelled) s.blocks.push_back({Paragraph{{strongText("cancelled: this is not an answer")}}});
    std::string members;
    for (const std::string& m : f.members) members += (members.empty() ? "" : ", ") + m;
    if (f.members.size() > 1) say("members reached: " + members);
    if (f.ofOptions) {
        if (!f.what.nowShown.empty()) say("now " + f.what.nowShown);
        Reach r;
        r.what = f.what;
        r.options = f.options;
        options(r, s);
    } else if (!f.cancelled) {
        for (std::size_t i = 0; i < f.far.stretches.size(); ++i) {
            const trial::Stretch& p = f.far.stretches[i];
            const bool here = f.far.around == i;
            Inlines line{strongText("passes from " + f.shown(p.from) + " to " + f.shown(p.to))};
            if (here) line.push_back(plainText("   (now " + f.what.nowShown + ")"));
            s.blocks.push_back({Paragraph{std::move(line)}});
            if (!here) continue;
            Bullets ends;
            ends.items.push_back(
                {{plainText(p.opensLow ? "below: the range looked at ends there, no check does" : "below it does not pass: " + joined(f.far.stopsLow, 3))},
                 {}});
            ends.items.push_back(
                {{plainText(p.opensHigh ? "above: the range looked at ends there, no check does" : "above it does not pass: " + joined(f.far.stopsHigh, 3))},
                 {}});
            s.blocks.push_back({std::move(ends)});
        }
        if (f.far.stretches.empty())
            s.blocks.push_back({Paragraph{{strongText("nothing passes")}}});
        else if (!f.far.around && f.what.now)
            say("the present value, " + f.what.nowShown + ", does not pass");
    }
    Bullets why;
    for (std::size_t i = 0; i < f.reasons.size() && i < 8; ++i) why.items.push_back({{plainText(f.reasons[i])}, {}});
    if (!why.items.empty()) s.blocks.push_back({std::move(why)});
    if (!f.ofOptions && !f.cancelled && f.far.looked > 0) {
        const double apart = (f.far.range.to - f.far.range.from) / static_cast<double>(f.far.range.samples);
        std::string how = "looked from " + f.shown(f.far.range.from) + " to " + f.shown(f.far.range.to);
        if (f.ownRange) how += f.what.low && f.what.high ? " (the limits of its row)" : " (a tenth to ten times its present value)";
        how += f.what.whole ? ": every whole number, " + std::to_string(f.far.looked) + " in all"
                            : ": " + std::to_string(f.far.looked) + " places; a stretch of " + name + " narrower than " + f.shown(apart) + " may be missed";
        s.blocks.push_back({Paragraph{{faintText(how)}}});
    }
    d.sections.push_back(std::move(s));
    return d;
}

Drawing farDrawing(const trial::Far& f) {
    constexpr double kLeft = 16, kLength = 400, kBar = 34, kHigh = 16;
    Drawing d;
    if (f.ofOptions || f.cancelled || !(f.far.range.to > f.far.range.from)) return d;
    d.title = "how far " + trial::pathText(f.what.name) + " can go; hatched: does not pass";
    d.width = kLeft * 2 + kLength;
    d.height = kBar + kHigh + 22;
    const auto x = [&](double v) { return kLeft + kLength * std::clamp((v - f.far.range.from) / (f.far.range.to - f.far.range.from), 0.0, 1.0); };
    const auto box = [&](double from, double to, bool hatched) {
        if (x(to) > x(from)) d.shapes.push_back(Drawing::Rect{x(from), kBar, x(to) - x(from), kHigh, hatched, Drawing::Ink::Full});
    };
    double at = f.far.range.from;
    for (const trial::Stretch& p : f.far.stretches) {
        box(at, p.from, true);
        box(p.from, p.to, false);
        at = p.to;
    }
    box(at, f.far.range.to, true);
    const auto text = [&](double v, double y, const std::string& words) {
        const double px = x(v);
        const auto anchor = px < kLeft + 70             ? Drawing::Text::Anchor::Start
                            : px > kLeft + kLength - 70 ? Drawing::Text::Anchor::End
                                                        : Drawing::Text::Anchor::Middle;
        const double place = anchor == Drawing::Text::Anchor::Start ? std::max(kLeft, px - 8)
                             : anchor == Drawing::Text::Anchor::End ? std::min(kLeft + kLength, px + 8)
                                                                    : px;
        d.shapes.push_back(Drawing::Text{{place, y}, words, anchor, Drawing::Ink::Full, 10});
    };
    // Ends that lie close to one another have their words once.
    double last = -1000;
    for (const trial::Stretch& p : f.far.stretches)
        for (const double end : {p.from, p.to}) {
            if (x(end) - last < 90) continue;
            text(end, kBar + kHigh + 14, f.shown(end));
            last = x(end);
        }
    if (f.what.now && *f.what.now >= f.far.range.from && *f.what.now <= f.far.range.to) {
        const double px = x(*f.what.now);
        d.shapes.push_back(Drawing::Polyline{{{px, kBar - 6}, {px, kBar + kHigh + 3}}, Drawing::Ink::Full, Drawing::Dash::Solid, 2.0});
        text(*f.what.now, kBar - 12, "now " + f.what.nowShown);
    }
    return d;
}

std::string writeReachJson(const Reach& r) {
    using Json = nlohmann::ordered_json;
    const auto number = [&](double v) { return std::isfinite(v) ? Json(r.what.table ? v : units::fromSi(v, r.what.unit)) : Json(nullptr); };
    Json j;
    j["name"] = cleaned(trial::pathText(r.what.name));
    j["aim"] = r.aim == Aim::Largest ? "largest" : r.aim == Aim::Smallest ? "smallest" : "until";
    if (!r.what.table) j["unit"] = r.what.unit.ascii;
    j["complete"] = !r.cancelled;
    j["answer"] = r.answer ? (r.what.table ? Json(cleaned(r.answerShown)) : number(*r.answer)) : Json(nullptr);
    j["ended by"] = r.stops;
    j["ends with the range"] = r.atEnd;
    if (!r.ofOptions) {
        j["looked"] = {{"from", number(r.from)}, {"to", number(r.to)}, {"samples", r.samples}, {"places", r.looked}, {"tolerance", number(r.tolerance)}};
        for (const trial::Stretch& s : r.stretches) j["stretches"].push_back({{"from", number(s.from)}, {"to", number(s.to)}});
    }
    for (const trial::Option& o : r.options)
        j["options"].push_back({{"value", cleaned(o.label)},
                                {"verdict", stampText(stampOf(o.verdict))},
                                {"utilisation", std::isfinite(o.utilisation) ? Json(o.utilisation) : Json(nullptr)},
                                {"order", o.order ? Json(*o.order) : Json(nullptr)}});
    for (const trial::Hopeless& h : r.hopeless)
        j["fails everywhere"].push_back({{"check", cleaned(h.check)}, {"at best", h.utilisation}, {"at", number(h.at)}});
    for (const std::string& reason : r.reasons) j["reasons"].push_back(cleaned(reason));
    return j.dump(1) + "\n";
}

Bullets mendsList(const trial::Mends& m) {
    Bullets out;
    for (const trial::Mend& mend : m.mends) {
        Bullets::Item item;
        // "q_k <= 0.4 kN/m^2": the name as a symbol.
        const std::size_t end = nameEnd(mend.text, 0);
        if (end > 0)
            item.text = {nameText(syntax::canonicalName(mend.text.substr(0, end))), strongText(mend.text.substr(end))};
        else
            item.text = {codeText(mend.text)};
        if (mend.reached != job::Verdict::Ok) {
            item.text.push_back(plainText("  then "));
            item.text.push_back(boxedWord(stampOf(mend.reached)));
        }
        item.text.push_back(plainText("   now " + mend.nowShown));
        if (!mend.what.empty())
            for (Inline& i : symbolsMarked(", " + mend.what)) item.text.push_back(std::move(i));
        out.items.push_back(std::move(item));
    }
    const auto list = [&out](const std::string& head, const std::vector<std::string>& names) {
        if (names.empty()) return;
        out.items.push_back({symbolsAmong({faintText(head + joined(names, 100))}), {}});
    };
    if (m.mends.empty()) out.items.push_back({{plainText("no single change of a stated value or choice makes all its checks pass")}, {}});
    list("no help alone: ", m.noHelp);
    list("not looked at, to be quick: ", m.notLooked);
    return out;
}

} // namespace spanwright::report

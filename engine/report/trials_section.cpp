// SPDX-License-Identifier: MIT
// Trials that the job keeps: what was asked, as it stands in the job, and what it came to.
#include <algorithm>
#include <cmath>

#include "engine/report/build.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

/// The blocks of a trial's own document, its title as a heading.
void take(Section& into, Document d, const std::string& id) {
    for (Section& s : d.sections) {
        if (!s.title.empty())
            into.blocks.push_back({Heading{&s == &d.sections.front() ? 3 : 4, {plainText(s.title)}, &s == &d.sections.front() ? id : std::string()}});
        for (Block& b : s.blocks) into.blocks.push_back(std::move(b));
    }
}

void draw(Section& into, Drawing drawing) {
    if (drawing.shapes.empty()) return;
    std::string caption = drawing.title;
    into.blocks.push_back({Figure{std::move(drawing), std::move(caption)}});
}

/// The check that comes nearest to failing, or fails by most.
const trial::CheckTolerance* worstOf(const trial::Tolerance& t) {
    const trial::CheckTolerance* worst = nullptr;
    for (const trial::CheckTolerance& c : t.checks)
        if (!c.counts.empty() && std::isfinite(c.worst) && (worst == nullptr || c.worst > worst->worst)) worst = &c;
    return worst;
}

void resultInto(Section& s, const trial::PinnedResult& r, const std::string& id) {
    if (const auto* t = std::get_if<trial::VaryTable>(&r.result)) {
        Document d = varyDocument(*t);
        // Of one member alone its names stand without its mark.
        if (t->members.size() == 1 && !d.sections.empty()) d.sections.front().title = t->members.front() + ", " + d.sections.front().title;
        take(s, std::move(d), id);
        // A table that stands as the field does says the same, and says each verdict in words.
        Drawing field = isFieldTable(*t) ? Drawing{} : varyField(*t);
        if (!field.shapes.empty())
            draw(s, std::move(field));
        else if (t->results.points > 1 && !isFieldTable(*t))
            draw(s, varyDrawing(*t));
    } else if (const auto* found = std::get_if<trial::Reach>(&r.result)) {
        take(s, reachDocument(*found), id);
    } else if (const auto* far = std::get_if<trial::Far>(&r.result)) {
        take(s, farDocument(*far), id);
        draw(s, farDrawing(*far));
    } else if (const auto* w = std::get_if<trial::Weights>(&r.result)) {
        take(s, weightsDocument(*w), id);
        if (!w->weights.empty() && w->weights.front().percent != 0.0) draw(s, weightsDrawing(*w));
    } else if (const auto* list = std::get_if<std::vector<trial::Tolerance>>(&r.result)) {
        if (list->empty()) {
            s.blocks.push_back({Heading{3, {plainText("members within their tolerances")}, id}});
            s.blocks.push_back({Paragraph{{plainText("no value has a tolerance: write `with b = 58 mm +- 3 mm` under a member")}}});
        }
        take(s, toleranceDocument(*list), id);
        for (const trial::Tolerance& one : *list)
            if (const trial::CheckTolerance* c = worstOf(one)) draw(s, toleranceDrawing(one, *c));
    } else {
        s.blocks.push_back({Heading{3, {plainText("a trial without an answer")}, id}});
    }
}

} // namespace

Section trialsSection(const JobFacts& f) {
    Section s;
    s.id = "trials";
    s.title = "Trials";
    s.blocks.push_back(
        {Paragraph{{plainText("The job calculated with other values than it states. Trials prove nothing about the job as it stands, and change no "
                              "verdict; each was worked out for this print from the settings below its title.")},
                   Paragraph::Role::Note}});
    for (std::size_t i = 0; i < f.trials.size(); ++i) {
        const trial::PinnedResult& r = f.trials[i];
        const std::size_t head = s.blocks.size();
        resultInto(s, r, "trial-" + std::to_string(i + 1));
        std::vector<Block> settings;
        if (!r.pinned.what.empty()) settings.push_back({Paragraph{symbolsMarked(r.pinned.what)}});
        settings.push_back({Paragraph{{faintText("settings: "), codeText(r.pinned.broken ? r.pinned.text : "trial " + r.pinned.text)}}});
        if (!r.pinned.source.empty()) settings.push_back({Paragraph{{faintText(r.pinned.source)}}});
        if (r.problem) {
            Inlines line{boxedWord(Stamp::NotComputed), plainText(" " + r.problem->message)};
            if (!r.problem->mend.empty()) line.push_back(faintText("; mend: " + r.problem->mend));
            settings.push_back({Paragraph{std::move(line), Paragraph::Role::Remark}});
        } else if (r.leftOut) {
            settings.push_back({Paragraph{{boxedWord(Stamp::NotComputed), plainText(" left out of this print")}, Paragraph::Role::Remark}});
        }
        s.blocks.insert(s.blocks.begin() + static_cast<std::ptrdiff_t>(head) + 1, std::make_move_iterator(settings.begin()),
                        std::make_move_iterator(settings.end()));
    }
    return s;
}

} // namespace spanwright::report

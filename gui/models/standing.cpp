// SPDX-License-Identifier: MIT
#include "gui/models/standing.h"

#include <QCoreApplication>

#include <algorithm>

#include "engine/trial/pinned.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

/// Carries the translations of this file.
struct Words {
    Q_DECLARE_TR_FUNCTIONS(spanwright::models::Standing)
};

/// The row of a member that stands at a place of its sheet.
std::optional<CellId> rowAt(const JobSession& session, std::size_t member, const diag::Place& place) {
    if (!session.hasSheet(member) || place.row == diag::Place::kNoRow) return {};
    const meaning::Sheet& sheet = session.job().sheet(member);
    if (sheet.document && sheet.document->file() != place.file) return {};
    for (const meaning::Quantity& q : sheet.quantities)
        if (q.row == place.row && !q.name.empty() && q.kind != meaning::Kind::Switch) return CellId{member, q.id};
    return {};
}

void takeErrors(const JobSession& session, Standing& out) {
    for (const diag::Diagnostic& d : session.job().diagnostics()) {
        if (d.severity != diag::Severity::Error) continue;
        ++out.errors;
        Trouble t;
        t.mark = d.member;
        t.text = wordsOf(d.message);
        t.mend = wordsOf(d.mend);
        t.place = d.place;
        const auto member = session.job().memberByMark(d.member);
        if (member) t.cell = rowAt(session, *member, d.place);
        for (std::size_t i = 0; !t.cell && d.member.empty() && i < session.job().memberCount(); ++i) t.cell = rowAt(session, i, d.place);
        out.troubles.push_back(std::move(t));
    }
}

void takeMember(const JobSession& session, std::size_t index, Standing& out) {
    const job::MemberView& view = session.job().member(index);
    const auto trouble = [&](Trouble::Sort sort, std::optional<CellId> cell, const QString& text) {
        out.troubles.push_back({sort, cell, view.mark, text, {}, {}});
    };
    switch (view.verdict) {
    case job::Verdict::Ok: break;
    case job::Verdict::NotProven: ++out.notProven; break;
    case job::Verdict::Fails: ++out.fails; break;
    case job::Verdict::NotComputed: ++out.notComputed; break;
    }
    if (view.verdict == job::Verdict::Ok) return; // then everything is stated and every check that applies passes
    bool told = !view.notStated.empty();
    for (const job::CheckView& c : view.checks) {
        const bool fails = c.state == job::CheckView::State::Fails;
        if (!fails && c.state != job::CheckView::State::NotProven) continue;
        told = true;
        QString text = c.what.empty() ? fromUtf8(c.name) : wordsOf(c.what);
        if (!c.reason.empty()) text = QStringLiteral("%1: %2").arg(text, wordsOf(c.reason));
        // Most reasons name the case already.
        if (!c.governingLabel.empty() && c.reason.find(c.governingLabel) == std::string::npos)
            text = QStringLiteral("%1 (%2)").arg(text, fromUtf8(c.governingLabel));
        trouble(fails ? Trouble::Sort::Fails : Trouble::Sort::NotProven, CellId{index, c.id}, text);
    }
    for (const std::string& name : view.notStated) {
        ++out.notStated;
        const std::optional<CellId> cell = session.find(view.mark, name);
        QString what = cell ? fromUtf8(session.view(*cell).what) : QString();
        if (what.isEmpty()) what = fromUtf8(name);
        trouble(Trouble::Sort::NotStated, cell, Words::tr("%1 (%2) is not stated").arg(what, fromUtf8(name)));
    }
    if (told) return;
    const bool computed = view.verdict != job::Verdict::NotComputed;
    // What could not be computed has its errors in the list already.
    if (!computed && std::any_of(out.troubles.begin(), out.troubles.end(), [&](const Trouble& t) { return t.mark == view.mark; })) return;
    for (const std::string& reason : view.reasons) trouble(computed ? Trouble::Sort::NotProven : Trouble::Sort::NotComputed, std::nullopt, wordsOf(reason));
}

/// Of a job without anything wrong in its members.
QString wellOf(const Standing& s, bool single) {
    if (s.verdict != job::Verdict::Ok) return Words::tr("Not everything is proven");
    if (single) return Words::tr("Every check passes");
    return s.members == 1 ? Words::tr("The one member is OK") : Words::tr("All %1 members are OK").arg(s.members);
}

QString sentenceOf(const Standing& s, bool single) {
    if (s.members == 0 && s.errors == 0) return Words::tr("The job has no members yet: add one from a ready sheet.");
    QStringList parts;
    const auto member = [&](std::size_t n, const QString& one, const QString& many) {
        if (n == 0) return;
        const QString verb = n == 1 ? one : many;
        parts << (single ? verb : Words::tr("%1 of %2 members %3").arg(n).arg(s.members).arg(verb));
    };
    member(s.notComputed, Words::tr("is not computed"), Words::tr("are not computed"));
    member(s.fails, Words::tr("fails"), Words::tr("fail"));
    member(s.notProven, Words::tr("is not proven"), Words::tr("are not proven"));
    if (s.notStated == 1) parts << Words::tr("1 value not stated");
    if (s.notStated > 1) parts << Words::tr("%1 values not stated").arg(s.notStated);
    if (s.errors == 1) parts << Words::tr("1 error");
    if (s.errors > 1) parts << Words::tr("%1 errors").arg(s.errors);
    const bool onlyTrials = parts.isEmpty() && s.trials > 0;
    if (s.trials == 1) parts << Words::tr("1 trial cannot be worked out");
    if (s.trials > 1) parts << Words::tr("%1 trials cannot be worked out").arg(s.trials);
    if (onlyTrials) parts.prepend(wellOf(s, single));
    if (parts.isEmpty()) return Words::tr("%1.").arg(wellOf(s, single));
    QString out = parts.join(QStringLiteral("; "));
    if (!s.troubles.empty()) {
        const Trouble& t = s.troubles.front();
        out = Words::tr("%1; first: %2").arg(out, t.mark.empty() || single ? t.text : QStringLiteral("%1 %2").arg(fromUtf8(t.mark), t.text));
    }
    out[0] = out[0].toUpper();
    return out;
}

} // namespace

std::vector<Trouble> trialTroubles(const JobSession& session) {
    std::vector<Trouble> out;
    if (!session.isOpen()) return out;
    for (const trial::PinnedPlan& plan : trial::planPinned(session.job())) {
        if (!plan.problem || plan.pinned.broken) continue;
        const diag::Diagnostic& d = *plan.problem;
        out.push_back(
            {Trouble::Sort::Trial, {}, {}, Words::tr("trial \"%1\": %2").arg(fromUtf8(plan.pinned.text), wordsOf(d.message)), wordsOf(d.mend), d.place});
    }
    return out;
}

Standing standingOf(const JobSession& session, const std::vector<Trouble>& trials) {
    Standing out;
    const job::Job& job = session.job();
    out.verdict = job.verdict();
    out.members = job.memberCount();
    takeErrors(session, out);
    for (std::size_t i = 0; i < out.members; ++i) takeMember(session, i, out);
    out.trials = trials.size();
    out.troubles.insert(out.troubles.end(), trials.begin(), trials.end());
    std::stable_sort(out.troubles.begin(), out.troubles.end(), [](const Trouble& a, const Trouble& b) { return a.sort < b.sort; });
    out.sentence = sentenceOf(out, job.isSingleSheet());
    if (session.isPending()) out.sentence = Words::tr("Being worked out anew. Before the edit: %1").arg(out.sentence);
    return out;
}

} // namespace spanwright::models

// SPDX-License-Identifier: MIT
#include "gui/models/job_session.h"

#include <QUndoCommand>

#include <algorithm>
#include <functional>
#include <set>
#include <string_view>
#include <utility>

#include "engine/units/format.h"
#include "gui/models/cell_text.h"
#include "gui/models/job_steps.h"
#include "gui/models/short_text.h"
#include "gui/models/text.h"
#include "gui/models/twin.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

Refusal refusalOf(const diag::Diagnostic& d) { return {shortened(wordsOf(d.message)), shortened(wordsOf(d.mend))}; }

/// An edit that takes longer than this to be worked out would be seen to stop the window: the next is worked out aside.
constexpr double kFrame = 0.016;
/// Working the whole job out took so long that an edit may well take longer than a frame.
constexpr double kLongJob = 0.060;

} // namespace

/// The first redo() is the edit itself, already done when the command is pushed.
class JobSession::EditCommand final : public QUndoCommand {
public:
    EditCommand(JobSession& session, const QString& label, std::vector<TextDelta> deltas, bool typed = false)
        : QUndoCommand(label), m_session(session), m_deltas(std::move(deltas)), m_typed(typed) {}
    void undo() override { m_session.applyDeltas(m_deltas, false); }
    void redo() override {
        if (m_done) m_session.applyDeltas(m_deltas, true);
        m_done = true;
    }
    [[nodiscard]] int id() const override { return m_typed ? 1 : -1; }
    /// Letters typed, or taken out backwards, one behind the other within a line.
    bool mergeWith(const QUndoCommand* next) override {
        const TextDelta& more = static_cast<const EditCommand*>(next)->m_deltas.front();
        TextDelta& mine = m_deltas.front();
        if (more.file != mine.file || (more.inserted + more.removed + mine.inserted + mine.removed).find('\n') != std::string::npos) return false;
        if (more.removed.empty() && !mine.inserted.empty() && more.offset == mine.offset + mine.inserted.size()) {
            mine.inserted += more.inserted;
            return true;
        }
        if (more.inserted.empty() && mine.inserted.empty() && more.offset + more.removed.size() == mine.offset) {
            mine.offset = more.offset;
            mine.removed = more.removed + mine.removed;
            return true;
        }
        return false;
    }

private:
    JobSession& m_session;
    std::vector<TextDelta> m_deltas;
    bool m_typed = false;
    bool m_done = false;
};

JobSession::JobSession(QString library, std::unique_ptr<io::Files> files, QObject* parent)
    : QObject(parent), m_library(std::move(library)), m_files(std::make_unique<SharedFiles>(files ? std::move(files) : std::make_unique<io::Disk>())) {
    qRegisterMetaType<std::vector<CellId>>();
}

JobSession::~JobSession() {
    m_undo.disconnect();
    m_twin.reset();
}

void JobSession::open(const QString& path) { adopt(loadJob(*m_files, m_library, path, std::make_shared<LoadState>())); }

std::unique_ptr<Loading> JobSession::startLoading(const QString& path) { return std::make_unique<Loading>(*m_files, m_library, path); }

void JobSession::adopt(LoadedJob loaded) {
    m_twin.reset();
    const bool wasPending = std::exchange(m_isPending, false);
    m_ahead.clear();
    m_behind.clear();
    m_oldCells.clear();
    m_typed.clear();
    m_path = loaded.path;
    m_undo.clear();
    m_copy.job.reset(); // before the files that it reads through
    m_copy = std::move(loaded.copy);
    m_bytes = std::move(loaded.bytes);
    m_stop = std::move(loaded.stop);
    m_shown = std::move(loaded.shown);
    m_marked.clear();
    regroup();
    tellModified();
    if (wasPending) Q_EMIT pendingChanged(false);
    Q_EMIT reset();
    Q_EMIT settled();
    if (loaded.seconds > kLongJob) workAside();
}

void JobSession::reload() { open(m_path); }

QStringList JobSession::filesRead() const {
    QStringList out{m_path};
    if (!isOpen()) return out;
    std::set<std::string> seen{toUtf8(m_path)};
    const auto take = [&](const std::string& file) {
        if (!file.empty() && seen.insert(file).second) out.push_back(fromUtf8(file));
    };
    for (const SheetGroup& group : m_groups) {
        if (group.members.empty() || !hasSheet(group.members.front())) continue;
        const meaning::Sheet& sheet = m_copy.job->sheet(group.members.front());
        if (sheet.document) take(sheet.document->file());
        for (const auto& table : sheet.tables)
            if (table) take(table->file);
    }
    return out;
}

bool JobSession::hasSheet(std::size_t member) const { return member < m_shown.size() && m_shown[member].document != nullptr; }

std::optional<CellId> JobSession::find(std::string_view mark, std::string_view name) const {
    const auto member = m_copy.job->memberByMark(mark);
    if (!member || !hasSheet(*member)) return {};
    const meaning::Sheet& sheet = m_copy.job->sheet(*member);
    for (const meaning::Quantity& q : sheet.quantities)
        if (!q.name.empty() && q.name == name && q.kind != meaning::Kind::Switch) return CellId{*member, q.id};
    return {};
}

const job::QuantityView& JobSession::view(CellId cell) const { return m_copy.job->member(cell.member).quantities[cell.quantity.index()]; }

QString JobSession::piece(CellId cell) const { return fromUtf8(m_shown[cell.member].rows[cell.quantity.index()].shown); }

const meaning::Quantity& JobSession::quantity(CellId cell) const { return m_copy.job->sheet(cell.member).at(cell.quantity); }

const job::CheckView* JobSession::check(CellId cell) const {
    for (const job::CheckView& c : m_copy.job->member(cell.member).checks)
        if (c.id == cell.quantity) return &c;
    return nullptr;
}

bool JobSession::changed(CellId cell) const { return m_shown[cell.member].rows[cell.quantity.index()].old.has_value(); }

QString JobSession::oldShown(CellId cell) const { return fromUtf8(m_shown[cell.member].rows[cell.quantity.index()].old.value_or("")); }

// ---- edits

Outcome JobSession::edit(const QString& label, const std::function<job::Job::Done(job::Job&)>& what) { return change({label, what, std::nullopt, {}, false}); }

/// What an edit did to the texts: `before` holds those that had been touched already, and the job's own.
std::vector<TextDelta> JobSession::differences(const job::Job& job, const std::vector<std::pair<std::string, std::string>>& before) const {
    const auto textBefore = [&](const std::string& file) -> std::string {
        for (const auto& [name, text] : before)
            if (name == file) return text;
        // Not touched before: as it stands in its file.
        const auto read = m_copy.files->read(file);
        return read ? read.value() : std::string();
    };
    std::vector<TextDelta> deltas;
    std::vector<std::string> after = job.filesTouched();
    for (const auto& [name, text] : before)
        if (std::find(after.begin(), after.end(), name) == after.end()) after.push_back(name);
    for (const std::string& file : after) {
        TextDelta delta = deltaBetween(file, textBefore(file), job.text(file).value_or(std::string()));
        if (!delta.empty()) deltas.push_back(std::move(delta));
    }
    return deltas;
}

Outcome JobSession::change(const Change& change) {
    if (m_give && change.label && !change.typing) m_give();
    if (m_twin && m_twin->isOpen()) return changeAside(change);
    job::Job& job = *m_copy.job;
    std::vector<std::pair<std::string, std::string>> before;
    std::vector<std::string> files = job.filesTouched();
    if (std::find(files.begin(), files.end(), toUtf8(m_path)) == files.end()) files.push_back(toUtf8(m_path));
    for (const std::string& file : files) before.emplace_back(file, job.text(file).value_or(std::string()));

    const double start = threadSeconds();
    if (const job::Job::Done done = change.what(job); !done) return refusalOf(done.error());
    std::vector<TextDelta> deltas = differences(job, before);
    job.calculate();
    const double took = threadSeconds() - start;
    if (m_twin) m_behind.push_back(stepOf(deltas)); // still being opened: it hears of it then
    remember(change, std::move(deltas));
    if (change.members) {
        // Only the members edited and those where something was worked out can be shown differently.
        std::vector<std::string> marks;
        for (const std::size_t m : *change.members) marks.push_back(m_shown[m].mark);
        for (const std::string& worked : job.log()) {
            std::string mark = worked.substr(0, worked.rfind('.'));
            if (marks.empty() || marks.back() != mark) marks.push_back(std::move(mark));
        }
        tellTouched(marks);
    } else {
        takeInAll();
    }
    if (took > kFrame) workAside();
    return {};
}

void JobSession::remember(const Change& change, std::vector<TextDelta> deltas) {
    if (change.label && !deltas.empty()) m_undo.push(new EditCommand(*this, *change.label, std::move(deltas), change.typing));
}

void JobSession::tellTouched(const std::vector<std::string>& marks) {
    std::vector<char> touched(m_shown.size(), 0);
    for (const std::string& mark : marks) {
        const auto member = m_copy.job->memberByMark(mark);
        if (member && *member < touched.size()) touched[*member] = 1;
    }
    std::vector<std::size_t> list;
    for (std::size_t i = 0; i < touched.size(); ++i)
        if (touched[i] != 0) list.push_back(i);
    takeIn(list);
}

Outcome JobSession::setValue(CellId cell, const QString& typed) { return setValues({{cell, typed}}, {}); }

Outcome JobSession::setValues(const std::vector<std::pair<CellId, QString>>& typed, const QString& label) {
    if (typed.empty()) return {};
    struct Statement {
        std::string mark, name, text;
    };
    std::vector<Statement> statements;
    for (const auto& [cell, text] : typed) {
        const meaning::Quantity& q = quantity(cell);
        statements.push_back({m_copy.job->member(cell.member).mark, q.name, writtenFor(q, toUtf8(text))});
    }
    const Statement& first = statements.front();
    const QString name = label.isEmpty() ? tr("%1.%2 = %3").arg(fromUtf8(first.mark), fromUtf8(first.name), fromUtf8(first.text)) : label;
    const std::string path = toUtf8(m_path);
    std::optional<std::vector<std::size_t>> members;
    if (!m_copy.job->isSingleSheet()) {
        members.emplace();
        for (const auto& [cell, text] : typed) members->push_back(cell.member);
    }
    const auto what = [&](job::Job& job) -> job::Job::Done {
        const std::optional<std::string> before = statements.size() > 1 ? job.text(path) : std::nullopt;
        for (const Statement& s : statements) {
            job::Job::Done done = s.text.empty() ? job.takeBack(s.mark, s.name) : job.setValue(s.mark, s.name, s.text);
            if (done) continue;
            // All or none: what was done before the refusal is put back.
            if (before) (void)job.setText(path, *before);
            return done;
        }
        return true;
    };
    return change({name, what, std::move(members), typed, false});
}

Outcome JobSession::setJobGiven(const QString& name, const QString& typed) {
    return edit(tr("%1 = %2").arg(name, typed), [&](job::Job& job) { return job.setJobGiven(toUtf8(name), toUtf8(typed)); });
}

Outcome JobSession::addTick(CellId cell, const QString& by, const QString& on) {
    if (outOfDate(cell)) return Refusal{tr("the value is being worked out anew"), tr("tick it when it is up to date")};
    const std::string mark = m_copy.job->member(cell.member).mark;
    const std::string name = quantity(cell).name;
    return edit(tr("tick %1.%2").arg(fromUtf8(mark), fromUtf8(name)), [&](job::Job& job) { return job.addTick(mark, name, toUtf8(by), toUtf8(on)); });
}

Outcome JobSession::setText(const QString& file, const QString& text) {
    return edit(tr("edit of the text"), [&](job::Job& job) { return job.setText(toUtf8(file), toUtf8(text)); });
}

Outcome JobSession::setTyped(const std::string& file, const std::string& text) {
    if (this->text(file).value_or(std::string()) == text) return {};
    return change({tr("typing"), [&](job::Job& job) { return job.setText(file, text); }, std::nullopt, {}, true});
}

Outcome JobSession::bringBack(const std::vector<std::pair<std::string, std::string>>& texts) {
    return edit(tr("unsaved edits brought back"), [&](job::Job& job) -> job::Job::Done {
        for (const auto& [file, text] : texts)
            if (job::Job::Done done = job.setText(file, text); !done) return done;
        return true;
    });
}

void JobSession::applyDeltas(const std::vector<TextDelta>& deltas, bool forward) {
    // The stack holds every edit since the file was read, so the texts are those that the deltas were made from.
    (void)change({std::nullopt, [&](job::Job& job) { return applyTo(job, deltas, forward); }, std::nullopt, {}, false});
}

void JobSession::tellModified() {
    const bool now = isOpen() && !filesTouched().empty();
    if (now == m_modified) return;
    m_modified = now;
    Q_EMIT modifiedChanged(now);
}

// ---- what changed

void JobSession::takeIn(const std::vector<std::size_t>& members) {
    std::vector<CellId> told = std::exchange(m_marked, {});
    // What was shown as out of date is no longer.
    const std::vector<CellId> old = std::exchange(m_oldCells, {});
    for (const CellId& cell : told) m_shown[cell.member].rows[cell.quantity.index()].old.reset();
    for (const std::size_t member : members) {
        MemberShown now = lookAt(*m_copy.job, member, m_shown);
        MemberShown& before = m_shown[member];
        const bool hasSheet = now.document != nullptr;
        for (std::size_t r = 0; hasSheet && r < now.rows.size(); ++r) {
            Shown& a = before.rows[r];
            Shown& b = now.rows[r];
            const bool value = a.shown != b.shown || a.state != b.state || a.check != b.check || a.utilisation != b.utilisation || a.numbers != b.numbers;
            const CellId cell{member, meaning::QuantityId(r)};
            if (value) {
                b.old = a.utilisation && b.utilisation ? units::showUtilisation(*a.utilisation) : a.shown;
                m_marked.push_back(cell);
            }
            if (value || a.stated != b.stated || a.statedText != b.statedText || a.statedFrom != b.statedFrom || a.review != b.review) told.push_back(cell);
        }
        before = std::move(now);
    }
    for (const CellId& cell : old)
        if (cell.member < m_shown.size() && cell.quantity.index() < m_shown[cell.member].rows.size()) told.push_back(cell);
    const auto order = [](const CellId& a, const CellId& b) { return std::pair(a.member, a.quantity.value) < std::pair(b.member, b.quantity.value); };
    std::sort(told.begin(), told.end(), order);
    told.erase(std::unique(told.begin(), told.end()), told.end());
    tellModified();
    if (!told.empty()) Q_EMIT cellsChanged(told);
    Q_EMIT settled();
}

void JobSession::takeInAll() {
    std::vector<MemberShown> now;
    now.reserve(m_copy.job->memberCount());
    for (std::size_t i = 0; i < m_copy.job->memberCount(); ++i) now.push_back(lookAt(*m_copy.job, i, now.empty() ? m_shown : now));
    const auto alike = [](const MemberShown& a, const MemberShown& b) {
        return a.mark == b.mark && a.sheetName == b.sheetName && a.rows.size() == b.rows.size() && a.shape == b.shape;
    };
    if (now.size() == m_shown.size() && std::equal(now.begin(), now.end(), m_shown.begin(), alike)) {
        std::vector<std::size_t> all(now.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        takeIn(all);
        return;
    }
    // Rows or members are others: nothing that was remembered of them holds.
    m_shown = std::move(now);
    m_marked.clear();
    m_oldCells.clear();
    regroup();
    tellModified();
    Q_EMIT reset();
    Q_EMIT settled();
}

void JobSession::regroup() {
    m_groups.clear();
    for (std::size_t i = 0; i < m_shown.size(); ++i) {
        const QString name = fromUtf8(m_shown[i].sheetName);
        auto group = std::find_if(m_groups.begin(), m_groups.end(), [&](const SheetGroup& g) { return g.name == name; });
        if (group == m_groups.end()) group = m_groups.insert(m_groups.end(), SheetGroup{name, fromUtf8(m_copy.job->member(i).sheetTitle), {}});
        group->members.push_back(i);
    }
}

} // namespace spanwright::models

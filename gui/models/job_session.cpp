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
#include "gui/models/text.h"

namespace spanwright::models {

namespace {

Refusal refusalOf(const diag::Diagnostic& d) { return {fromUtf8(d.message), fromUtf8(d.mend)}; }

void mix(std::size_t& hash, std::size_t with) { hash ^= with + 0x9e3779b97f4a7c15ULL + (hash << 6U) + (hash >> 2U); }

std::size_t shapeOf(const meaning::Sheet& sheet) {
    const std::hash<std::string> text;
    std::size_t hash = sheet.quantities.size();
    for (const meaning::Quantity& q : sheet.quantities) {
        mix(hash, static_cast<std::size_t>(q.kind));
        for (const std::string* s : {&q.name, &q.what, &q.unit.shown}) mix(hash, text(*s));
        mix(hash, q.part * 2U + (q.otherwise ? 1U : 0U));
    }
    for (const meaning::Part& part : sheet.parts) mix(hash, text(part.title));
    return hash;
}

std::size_t numbersOf(const eval::Value& value) {
    if (value.many.empty()) return 0;
    const std::string_view bytes(reinterpret_cast<const char*>(value.many.data()), value.many.size() * sizeof(double));
    return std::hash<std::string_view>()(bytes);
}

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
    : QObject(parent), m_library(std::move(library)), m_files(files ? std::move(files) : std::make_unique<io::Disk>()) {
    qRegisterMetaType<std::vector<CellId>>();
}

JobSession::~JobSession() { m_undo.disconnect(); }

void JobSession::open(const QString& path) {
    job::Options options;
    options.library = toUtf8(m_library);
    m_path = path;
    m_undo.clear();
    m_job = job::Job::open(*m_files, toUtf8(path), options);
    m_job->calculate();
    m_shown.clear();
    for (std::size_t i = 0; i < m_job->memberCount(); ++i) m_shown.push_back(lookAt(i));
    m_job->keepLog(true);
    m_marked.clear();
    regroup();
    tellModified();
    Q_EMIT reset();
    Q_EMIT settled();
}

void JobSession::reload() { open(m_path); }

Outcome JobSession::save() {
    if (m_pending) m_pending();
    const auto done = m_job->save();
    if (!done)
        return Refusal{tr("%1 could not be saved: %2").arg(fromUtf8(done.error().path), fromUtf8(done.error().message)),
                       tr("the text is still here and unsaved; mend the place and save again, or save it elsewhere")};
    m_undo.setClean();
    tellModified();
    Q_EMIT saved();
    return {};
}

QStringList JobSession::filesRead() const {
    QStringList out{m_path};
    if (!m_job) return out;
    std::set<std::string> seen{toUtf8(m_path)};
    const auto take = [&](const std::string& file) {
        if (!file.empty() && seen.insert(file).second) out.push_back(fromUtf8(file));
    };
    for (const SheetGroup& group : m_groups) {
        if (group.members.empty() || !hasSheet(group.members.front())) continue;
        const meaning::Sheet& sheet = m_job->sheet(group.members.front());
        if (sheet.document) take(sheet.document->file());
        for (const auto& table : sheet.tables)
            if (table) take(table->file);
    }
    return out;
}

bool JobSession::hasSheet(std::size_t member) const { return member < m_shown.size() && m_shown[member].document != nullptr; }

std::optional<CellId> JobSession::find(std::string_view mark, std::string_view name) const {
    const auto member = m_job->memberByMark(mark);
    if (!member || !hasSheet(*member)) return {};
    const meaning::Sheet& sheet = m_job->sheet(*member);
    for (const meaning::Quantity& q : sheet.quantities)
        if (!q.name.empty() && q.name == name && q.kind != meaning::Kind::Switch) return CellId{*member, q.id};
    return {};
}

const job::QuantityView& JobSession::view(CellId cell) const { return m_job->member(cell.member).quantities[cell.quantity.index()]; }

const meaning::Quantity& JobSession::quantity(CellId cell) const { return m_job->sheet(cell.member).at(cell.quantity); }

const job::CheckView* JobSession::check(CellId cell) const {
    for (const job::CheckView& c : m_job->member(cell.member).checks)
        if (c.id == cell.quantity) return &c;
    return nullptr;
}

bool JobSession::changed(CellId cell) const { return m_shown[cell.member].rows[cell.quantity.index()].old.has_value(); }

QString JobSession::oldShown(CellId cell) const { return fromUtf8(m_shown[cell.member].rows[cell.quantity.index()].old.value_or("")); }

// ---- edits

Outcome JobSession::edit(const QString& label, const std::function<job::Job::Done(job::Job&)>& what) { return editOf(label, what, std::nullopt); }

Outcome JobSession::editOf(const QString& label, const std::function<job::Job::Done(job::Job&)>& what, std::optional<std::vector<std::size_t>> members) {
    if (m_pending) m_pending();
    std::vector<std::pair<std::string, std::string>> before;
    for (const std::string& file : [this] {
             std::vector<std::string> all = m_job->filesTouched();
             if (std::find(all.begin(), all.end(), toUtf8(m_path)) == all.end()) all.push_back(toUtf8(m_path));
             return all;
         }())
        before.emplace_back(file, m_job->text(file).value_or(std::string()));
    const auto textBefore = [&](const std::string& file) -> std::string {
        for (const auto& [name, text] : before)
            if (name == file) return text;
        // Not touched before: as it stands in its file.
        const auto read = m_files->read(file);
        return read ? read.value() : std::string();
    };

    if (const job::Job::Done done = what(*m_job); !done) return refusalOf(done.error());

    std::vector<TextDelta> deltas;
    std::vector<std::string> after = m_job->filesTouched();
    for (const auto& [name, text] : before)
        if (std::find(after.begin(), after.end(), name) == after.end()) after.push_back(name);
    for (const std::string& file : after) {
        TextDelta delta = deltaBetween(file, textBefore(file), m_job->text(file).value_or(std::string()));
        if (!delta.empty()) deltas.push_back(std::move(delta));
    }
    m_job->calculate();
    if (!deltas.empty()) m_undo.push(new EditCommand(*this, label, std::move(deltas)));
    if (!members) {
        takeInAll();
        return {};
    }
    // Only the members edited and those where something was worked out can be shown differently.
    std::vector<char> touched(m_shown.size(), 0);
    for (const std::size_t m : *members) touched[m] = 1;
    for (const std::string& worked : m_job->log()) {
        const auto member = m_job->memberByMark(std::string_view(worked).substr(0, worked.rfind('.')));
        if (member && *member < touched.size()) touched[*member] = 1;
    }
    std::vector<std::size_t> list;
    for (std::size_t i = 0; i < touched.size(); ++i)
        if (touched[i] != 0) list.push_back(i);
    takeIn(list);
    return {};
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
        statements.push_back({m_job->member(cell.member).mark, q.name, writtenFor(q, toUtf8(text))});
    }
    const Statement& first = statements.front();
    const QString name = label.isEmpty() ? tr("%1.%2 = %3").arg(fromUtf8(first.mark), fromUtf8(first.name), fromUtf8(first.text)) : label;
    const std::string path = toUtf8(m_path);
    const std::optional<std::string> before = statements.size() > 1 ? m_job->text(path) : std::nullopt;
    std::optional<std::vector<std::size_t>> members;
    if (!m_job->isSingleSheet()) {
        members.emplace();
        for (const auto& [cell, text] : typed) members->push_back(cell.member);
    }
    const auto what = [&](job::Job& job) -> job::Job::Done {
        for (const Statement& s : statements) {
            job::Job::Done done = s.text.empty() ? job.takeBack(s.mark, s.name) : job.setValue(s.mark, s.name, s.text);
            if (done) continue;
            // All or none: what was done before the refusal is put back.
            if (before) (void)job.setText(path, *before);
            return done;
        }
        return true;
    };
    return editOf(name, what, std::move(members));
}

Outcome JobSession::setJobGiven(const QString& name, const QString& typed) {
    return edit(tr("%1 = %2").arg(name, typed), [&](job::Job& job) { return job.setJobGiven(toUtf8(name), toUtf8(typed)); });
}

Outcome JobSession::addTick(CellId cell, const QString& by, const QString& on) {
    const std::string mark = m_job->member(cell.member).mark;
    const std::string name = quantity(cell).name;
    return edit(tr("tick %1.%2").arg(fromUtf8(mark), fromUtf8(name)), [&](job::Job& job) { return job.addTick(mark, name, toUtf8(by), toUtf8(on)); });
}

Outcome JobSession::setText(const QString& file, const QString& text) {
    return edit(tr("edit of the text"), [&](job::Job& job) { return job.setText(toUtf8(file), toUtf8(text)); });
}

Outcome JobSession::setTyped(const std::string& file, const std::string& text) {
    const std::string before = m_job->text(file).value_or(std::string());
    if (before == text) return {};
    if (const job::Job::Done done = m_job->setText(file, text); !done) return refusalOf(done.error());
    m_job->calculate();
    m_undo.push(new EditCommand(*this, tr("typing"), {deltaBetween(file, before, text)}, true));
    takeInAll();
    return {};
}

Outcome JobSession::bringBack(const std::vector<std::pair<std::string, std::string>>& texts) {
    return edit(tr("unsaved edits brought back"), [&](job::Job& job) -> job::Job::Done {
        for (const auto& [file, text] : texts)
            if (job::Job::Done done = job.setText(file, text); !done) return done;
        return true;
    });
}

void JobSession::applyDeltas(const std::vector<TextDelta>& deltas, bool forward) {
    for (const TextDelta& delta : deltas) {
        const std::optional<std::string> now = m_job->text(delta.file);
        const std::optional<std::string> then = now ? applied(delta, *now, forward) : std::nullopt;
        // The stack holds every edit since the file was read, so the text is the one the delta was made from.
        Q_ASSERT(then);
        if (then) (void)m_job->setText(delta.file, *then);
    }
    m_job->calculate();
    takeInAll();
}

void JobSession::tellModified() {
    const bool now = m_job && !m_job->filesTouched().empty();
    if (now == m_modified) return;
    m_modified = now;
    Q_EMIT modifiedChanged(now);
}

// ---- what changed

JobSession::MemberShown JobSession::lookAt(std::size_t index) const {
    const job::MemberView& view = m_job->member(index);
    MemberShown m;
    m.mark = view.mark;
    m.sheetName = view.sheetName;
    if (view.quantities.empty()) return m;
    const meaning::Sheet& sheet = m_job->sheet(index);
    m.document = sheet.document;
    // Members of one sheet share its shape.
    const auto known = std::find_if(m_shown.begin(), m_shown.end(), [&](const MemberShown& other) { return other.document == sheet.document; });
    m.shape = known != m_shown.end() ? known->shape : shapeOf(sheet);
    m.rows.reserve(view.quantities.size());
    const std::hash<std::string> text;
    const auto& ticks = m_job->ticks();
    const auto& remarks = m_job->remarks();
    for (const job::QuantityView& q : view.quantities) {
        Shown s;
        s.shown = q.shown;
        s.state = q.state;
        s.stated = q.stated;
        s.statedText = q.statedText;
        if (q.tick && *q.tick < ticks.size()) {
            mix(s.review, text(ticks[*q.tick].by + ticks[*q.tick].on + ticks[*q.tick].letters + ticks[*q.tick].changed));
            mix(s.review, static_cast<std::size_t>(ticks[*q.tick].state));
        }
        for (const std::uint32_t r : q.remarks) mix(s.review, text(remarks[r].by + remarks[r].on + remarks[r].text + (remarks[r].open ? "o" : "")));
        s.numbers = numbersOf(m_job->value(index, q.id));
        m.rows.push_back(std::move(s));
    }
    for (const job::CheckView& c : view.checks) {
        m.rows[c.id.index()].check = c.state;
        m.rows[c.id.index()].utilisation = c.utilisation;
    }
    return m;
}

void JobSession::takeIn(const std::vector<std::size_t>& members) {
    std::vector<CellId> told = std::exchange(m_marked, {});
    for (const CellId& cell : told) m_shown[cell.member].rows[cell.quantity.index()].old.reset();
    for (const std::size_t member : members) {
        MemberShown now = lookAt(member);
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
            if (value || a.stated != b.stated || a.statedText != b.statedText || a.review != b.review) told.push_back(cell);
        }
        before = std::move(now);
    }
    const auto order = [](const CellId& a, const CellId& b) { return std::pair(a.member, a.quantity.value) < std::pair(b.member, b.quantity.value); };
    std::sort(told.begin(), told.end(), order);
    told.erase(std::unique(told.begin(), told.end()), told.end());
    tellModified();
    if (!told.empty()) Q_EMIT cellsChanged(told);
    Q_EMIT settled();
}

void JobSession::takeInAll() {
    std::vector<MemberShown> now;
    now.reserve(m_job->memberCount());
    for (std::size_t i = 0; i < m_job->memberCount(); ++i) now.push_back(lookAt(i));
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
        if (group == m_groups.end()) group = m_groups.insert(m_groups.end(), SheetGroup{name, fromUtf8(m_job->member(i).sheetTitle), {}});
        group->members.push_back(i);
    }
}

} // namespace spanwright::models

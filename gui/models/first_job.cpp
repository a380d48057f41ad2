// SPDX-License-Identifier: MIT
#include "gui/models/first_job.h"

#include <algorithm>
#include <utility>

#include "engine/syntax/document.h"
#include "gui/models/cell_text.h"
#include "gui/models/list_rows.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

constexpr const char* kDraft = "first.spanjob";

/// The draft stands in memory, beside nothing: sheets and tables come from the library alone.
class DraftFiles final : public io::Files {
public:
    DraftFiles(std::string library, std::string draft) : m_library(std::move(library)), m_draft(std::move(draft)) {}
    [[nodiscard]] base::Result<std::string, io::IoError> read(const std::string& path) const override {
        if (path == kDraft) return m_draft;
        if (!ours(path)) return base::Failure{io::IoError{io::IoError::What::NotFound, path, "no such file"}};
        return m_disk.read(path);
    }
    [[nodiscard]] base::Result<bool, io::IoError> write(const std::string& path, std::string_view) override {
        return base::Failure{io::IoError{io::IoError::What::NotWritable, path, "a first draft is no file"}};
    }
    [[nodiscard]] bool exists(const std::string& path) const override { return path == kDraft || (ours(path) && m_disk.exists(path)); }
    [[nodiscard]] std::vector<std::string> list(const std::string& folder) const override {
        return folder == m_library ? m_disk.list(folder) : std::vector<std::string>();
    }

private:
    [[nodiscard]] bool ours(const std::string& path) const { return !m_library.empty() && io::isBelow(m_library, path); }
    io::Disk m_disk;
    std::string m_library, m_draft;
};

std::string bytesOf(const syntax::Row& row, const syntax::Formula& f) {
    const std::string_view text = f.span.of(row.text);
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(" \t") - first + 1));
}

bool isChoice(const meaning::Quantity& q) { return q.kind == meaning::Kind::Choose; }

} // namespace

FirstJob::FirstJob(QString library, QObject* parent) : QAbstractListModel(parent), m_library(std::move(library)) {}
FirstJob::~FirstJob() = default;

Outcome FirstJob::begin(const QString& sheet, const QString& mark) {
    // What was answered before, in the order of the sheet that asked it.
    std::vector<std::pair<std::string, std::pair<QString, QString>>> before;
    if (isBegun())
        for (const job::QuantityView& v : member().quantities)
            if (v.stated) before.push_back({v.name, {fromUtf8(v.statedText), fromUtf8(v.statedFrom)}});

    const std::string name = toUtf8(sheet);
    std::string text = "job     \nauthor  \nchecker \nrevision\ndate    \nplace   \n\nmember  " + toUtf8(mark) + " = " + name + "\n        off   1\n";
    auto session = std::make_unique<JobSession>(m_library, std::make_unique<DraftFiles>(toUtf8(m_library), std::move(text)));
    session->open(QLatin1String(kDraft));
    if (session->job().memberCount() == 0 || !session->hasSheet(0)) {
        const std::vector<diag::Diagnostic> all = session->job().diagnostics();
        return Refusal{all.empty() ? tr("the sheet %1 could not be read").arg(sheet) : wordsOf(all.front().message),
                       all.empty() ? QString() : wordsOf(all.front().mend)};
    }
    beginResetModel();
    m_session = std::move(session);
    m_sheet = sheet;
    m_from.clear();
    m_refusals.clear();
    m_typing.clear();
    m_kept.clear();
    m_rows.clear();
    for (const auto& [known, said] : before) {
        const auto cell = m_session->find(m_session->job().member(0).mark, known);
        if (!cell || m_session->setValue(*cell, said.first) || said.second.isEmpty()) continue;
        const std::string own = m_session->job().member(0).mark, words = toUtf8(said.second), of = known;
        (void)m_session->edit(tr("where %1 comes from").arg(fromUtf8(known)), [own, of, words](job::Job& job) { return job.setSource(own, of, words); });
    }
    m_rows = asked();
    // Whatever an edit brings about, also one that is worked out on another thread.
    connect(m_session.get(), &JobSession::settled, this, &FirstJob::relay);
    endResetModel();
    Q_EMIT answered();
    return {};
}

const meaning::Quantity& FirstJob::quantity(const Question& q) const { return m_session->job().sheet(q.member).at(q.id); }
const job::QuantityView& FirstJob::view(const Question& q) const { return m_session->job().member(q.member).quantities[q.id.index()]; }
CellId FirstJob::cellOf(int row) const { return {question(row).member, question(row).id}; }

std::string FirstJob::keyOf(const Question& q) const {
    return q.member == 0 ? quantity(q).name : m_session->job().member(q.member).mark + "." + quantity(q).name;
}

std::vector<FirstJob::Question> FirstJob::asked() const {
    std::vector<Question> out;
    for (std::size_t m = 0; m < m_session->job().memberCount(); ++m)
        if (m_session->hasSheet(m)) askOf(m, out);
    // Each kind in the sheets' order.
    std::stable_sort(out.begin(), out.end(), [](const Question& a, const Question& b) { return a.group < b.group; });
    return out;
}

void FirstJob::askOf(std::size_t member, std::vector<Question>& out) const {
    const meaning::Sheet& sheet = m_session->job().sheet(member);
    const auto settable = [](const meaning::Quantity& q) {
        return q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose;
    };
    // How the thing is built stands in the part where the sheet begins to ask; what its section is made of may stand elsewhere.
    std::optional<std::uint32_t> first;
    std::vector<char> ofSection(sheet.quantities.size(), 0);
    for (const meaning::Quantity& q : sheet.quantities) {
        if (!first && settable(q) && !q.name.empty()) first = q.part;
        if (q.kind == meaning::Kind::Schedule)
            for (const meaning::QuantityId id : q.reads) ofSection[id.index()] = 1;
    }
    const auto ofShape = [&](const meaning::Quantity& q) {
        // A default that is no plain number, or that has a source, is the sheet's business.
        if (q.kind != meaning::Kind::Given || !q.source.empty()) return false;
        const std::string text = bytesOf(sheet.document->rows()[q.row], sheet.document->rows()[q.row]->formula);
        const bool plain = !text.empty() && text.find_first_of("0123456789.") == 0 && text.find_first_of("()*/+") == std::string::npos;
        return plain && (q.part == first || ofSection[q.id.index()] != 0);
    };
    for (const meaning::Quantity& q : sheet.quantities) {
        const bool list = q.kind == meaning::Kind::List;
        if ((!settable(q) && !list) || q.name.empty() || q.broken) continue;
        const job::QuantityView& view = m_session->job().member(member).quantities[q.id.index()];
        // What cannot apply is not asked; what depends on an open answer waits for it.
        if (view.state == eval::State::NotApplicable) continue;
        const bool open = q.kind == meaning::Kind::Ask || (isChoice(q) && !q.defaultRow && !sheet.document->rows()[q.row]->key.present());
        if (view.state == eval::State::Blocked && q.condition.valid() && !view.stated) continue;
        Group group = open ? Group::Needed : list || ofShape(q) ? Group::Shape : Group::Assumed;
        if (member > 0 && group != Group::Assumed) group = Group::Loads;
        out.push_back({member, q.id, open, group});
    }
}

/// Brings the rows to what is asked now, one run at a time, so that what is typed elsewhere stands.
void FirstJob::relay() {
    // What applies is known again once all is worked out.
    if (m_session->isPending()) {
        if (!m_rows.empty()) Q_EMIT dataChanged(index(0), index(rowCount() - 1));
        Q_EMIT answered();
        return;
    }
    const std::vector<Question> now = asked();
    const auto in = [](const std::vector<Question>& list, const Question& q) { return std::find(list.begin(), list.end(), q) != list.end(); };
    for (std::size_t i = m_rows.size(); i-- > 0;) {
        if (in(now, m_rows[i])) continue;
        beginRemoveRows({}, static_cast<int>(i), static_cast<int>(i));
        m_rows.erase(m_rows.begin() + static_cast<std::ptrdiff_t>(i));
        endRemoveRows();
    }
    // Both lists keep the same order, so what is new can be put in from the front.
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (i < m_rows.size() && m_rows[i] == now[i]) continue;
        beginInsertRows({}, static_cast<int>(i), static_cast<int>(i));
        m_rows.insert(m_rows.begin() + static_cast<std::ptrdiff_t>(i), now[i]);
        endInsertRows();
    }
    if (!m_rows.empty()) Q_EMIT dataChanged(index(0), index(rowCount() - 1));
    Q_EMIT answered();
}

Outcome FirstJob::refuse(int row, const Refusal& why) {
    m_refusals[keyOf(question(row))] = why;
    Q_EMIT dataChanged(index(row), index(row));
    Q_EMIT answered();
    return why;
}

void FirstJob::setTyping(int row, bool typing) {
    const std::string name = keyOf(question(row));
    if (typing ? m_typing.insert(name).second : m_typing.erase(name) > 0) Q_EMIT answered();
}

void FirstJob::tellList(int row, const QString& why) {
    const std::string name = keyOf(question(row));
    const auto known = m_refusals.find(name);
    if (known == m_refusals.end() ? why.isEmpty() : known->second.message == why) return;
    if (why.isEmpty())
        m_refusals.erase(known);
    else
        m_refusals[name] = {why, {}};
    Q_EMIT dataChanged(index(row), index(row));
    Q_EMIT answered();
}

std::vector<int> FirstJob::refused() const {
    std::vector<int> rows;
    for (std::size_t i = 0; i < m_rows.size(); ++i)
        if (m_refusals.count(keyOf(m_rows[i])) > 0) rows.push_back(static_cast<int>(i));
    return rows;
}

bool FirstJob::isTyping() const {
    return std::any_of(m_rows.begin(), m_rows.end(), [this](const Question& q) { return m_typing.count(keyOf(q)) > 0; });
}

Outcome FirstJob::answer(int row, const QString& typed) {
    const std::string name = keyOf(question(row));
    const CellId cell = cellOf(row);
    bool wasOpen = m_typing.erase(name) > 0;
    if (typed.trimmed().isEmpty() && !m_session->view(cell).stated) {
        m_refusals.erase(name);
        Q_EMIT dataChanged(index(row), index(row));
        Q_EMIT answered();
        return {};
    }
    wasOpen = m_refusals.erase(name) > 0 || wasOpen; // a new refusal may come in its place
    if (const Outcome no = m_session->setValue(cell, typed)) return refuse(row, *no);
    // What is stated already changes nothing of the job, and yet the question is answered again.
    if (wasOpen) Q_EMIT answered();
    // Said before there was a figure: now it has one to stand behind.
    if (const auto said = m_from.find(name); said != m_from.end() && (m_session->view(cell).stated || m_session->typed(cell))) {
        const QString words = said->second;
        if (!sayFrom(rowOf(name), words)) m_from.erase(name);
    }
    return {};
}

Outcome FirstJob::sayFrom(int row, const QString& words) {
    const Question q = question(row);
    const std::string key = keyOf(q), name = quantity(q).name, mark = m_session->job().member(q.member).mark, text = toUtf8(words.trimmed());
    // What was stated a moment ago may still be worked out.
    if (!view(q).stated && !m_session->typed(cellOf(row))) {
        m_from[key] = words.trimmed();
        return {};
    }
    if (view(q).statedFrom == text) return {};
    const Outcome no =
        m_session->edit(tr("where %1 comes from").arg(fromUtf8(name)), [mark, name, text](job::Job& job) { return job.setSource(mark, name, text); });
    if (no) return refuse(row, *no);
    if (m_refusals.erase(key) > 0)
        if (const int now = rowOf(key); now >= 0) Q_EMIT dataChanged(index(now), index(now));
    return {};
}

int FirstJob::rowOf(const std::string& name) const {
    for (std::size_t i = 0; i < m_rows.size(); ++i)
        if (keyOf(m_rows[i]) == name) return static_cast<int>(i);
    return -1;
}

/// Worked out by the second member, and not asked.
bool FirstJob::isLinked(const Question& q) const { return view(q).stated && isLink(quantity(q), view(q).statedText); }

int FirstJob::needed() const {
    return static_cast<int>(std::count_if(m_rows.begin(), m_rows.end(), [this](const Question& q) { return q.needed && !isLinked(q); }));
}

int FirstJob::neededStated() const {
    return static_cast<int>(std::count_if(m_rows.begin(), m_rows.end(), [this](const Question& q) {
        return q.needed && !isLinked(q) && view(q).state == eval::State::Known && m_refusals.count(keyOf(q)) == 0;
    }));
}

// ---- loads by area

namespace {

/// What a sheet of loads by area works out for a sheet that asks for it, name by name; names that a sheet has not are passed over.
struct Feed {
    const char *to, *from;
};
constexpr Feed kFeeds[] = {
    {"g_k", "g_k"},      {"k_self", "k_self"}, {"q_k", "q_k"},   {"s_k", "s_even"},
    {"s_dr", "s_drift"}, {"l_dr", "l_s"},      {"w_U", "w_UF"}, // of the corners, where it lifts most
    {"w_W", "w_W"},      {"w_o", "w_o"},       {"dead", "dead"}, {"live", "live"},
};

} // namespace

QString FirstJob::loadsSheet() const {
    static const QStringList kFed{QStringLiteral("floor-joist"), QStringLiteral("roof-joist"), QStringLiteral("bought-i-joist")};
    const qsizetype slash = m_sheet.lastIndexOf(QLatin1Char('/'));
    if (!kFed.contains(m_sheet.mid(slash + 1))) return {};
    const QString name = m_sheet.left(slash + 1) + QStringLiteral("area-loads");
    return m_session && m_session->files().exists(toUtf8(m_library + QLatin1Char('/') + name + QStringLiteral(".spansheet"))) ? name : QString();
}

Outcome FirstJob::addLoads() {
    const QString sheet = loadsSheet();
    if (sheet.isEmpty() || hasLoads()) return Refusal{tr("there is no sheet that works these loads out"), tr("state them")};
    m_session->finish();
    const std::string before = textNow(), own = member().mark, mark = "A1";
    const bool roof = m_sheet.endsWith(QStringLiteral("roof-joist"));
    const auto has = [](const job::Job& job, std::size_t member, const char* name) -> const meaning::Quantity* {
        for (const meaning::Quantity& q : job.sheet(member).quantities)
            if (q.name == name) return &q;
        return nullptr;
    };
    const Outcome no = m_session->edit(tr("loads by area"), [&](job::Job& job) -> job::Job::Done {
        const auto add = [&]() -> job::Job::Done {
            if (job::Job::Done done = job.addMember(toUtf8(sheet), mark, roof ? "loads of the roof" : "loads of the floor"); !done) return done;
            const std::size_t at = *job.memberByMark(mark);
            job::Job::Done done = true;
            const auto state = [&](const std::string& whose, const char* name, const std::string& text) {
                if (done && has(job, whose == own ? 0 : at, name) != nullptr) done = job.setValue(whose, name, text);
            };
            if (has(job, at, "surface") != nullptr) state(mark, "surface", roof ? "roof" : "floor");
            if (roof) state(mark, "use", "H");
            if (has(job, 0, "alpha") != nullptr) state(mark, "alpha", own + ".alpha");
            for (const Feed& f : kFeeds)
                if (has(job, at, f.from) != nullptr) state(own, f.to, mark + "." + f.from);
            return done;
        };
        job::Job::Done done = add();
        // All of it or nothing.
        if (!done) (void)job.setText(kDraft, before);
        return done;
    });
    m_session->finish();
    return no;
}

Outcome FirstJob::removeLoads() {
    if (!hasLoads()) return {};
    m_session->finish();
    const std::string mark = m_session->job().member(1).mark, own = member().mark;
    std::vector<std::string> carried;
    for (const job::QuantityView& v : member().quantities)
        if (v.stated && isLink(m_session->job().sheet(0).at(v.id), v.statedText)) carried.push_back(v.name);
    const auto forget = [&mark](auto& kept) {
        for (auto it = kept.begin(); it != kept.end();) it = it->first.rfind(mark + ".", 0) == 0 ? kept.erase(it) : std::next(it);
    };
    forget(m_from);
    forget(m_refusals);
    // The rows of the second member go before it does.
    for (std::size_t i = m_rows.size(); i-- > 0;) {
        if (m_rows[i].member == 0) continue;
        beginRemoveRows({}, static_cast<int>(i), static_cast<int>(i));
        m_rows.erase(m_rows.begin() + static_cast<std::ptrdiff_t>(i));
        endRemoveRows();
    }
    const Outcome no = m_session->edit(tr("loads stated"), [&](job::Job& job) -> job::Job::Done {
        for (const std::string& name : carried)
            if (job::Job::Done done = job.takeBack(own, name); !done) return done;
        return job.removeMember(mark);
    });
    m_session->finish();
    if (no) relay();
    return no;
}

std::string FirstJob::textNow() const { return m_session->job().text(kDraft).value_or(std::string()); }

base::Result<std::string, Refusal> FirstJob::text() {
    m_session->finish();
    // What was typed last is not what would be kept.
    if (const std::vector<int> no = refused(); !no.empty())
        return base::Failure{
            Refusal{tr("the answer to \"%1\" is not taken: %2").arg(index(no.front()).data().toString(), m_refusals.at(keyOf(question(no.front()))).message),
                    tr("put it right, or take it out; then keep the job")}};
    // Written into a job of its own, so that the draft stays as it is.
    job::Options options;
    options.library = toUtf8(m_library);
    DraftFiles files(options.library, textNow());
    const auto copy = job::Job::open(files, kDraft, options);
    for (const Question& q : m_rows) {
        if (!q.needed || view(q).stated) continue;
        if (const auto done = copy->setValue(m_session->job().member(q.member).mark, quantity(q).name, "?"); !done)
            return base::Failure{Refusal{wordsOf(done.error().message), wordsOf(done.error().mend)}};
    }
    // Loads first, as they are read.
    if (hasLoads())
        if (const auto done = copy->moveMember(m_session->job().member(1).mark, 0); !done)
            return base::Failure{Refusal{wordsOf(done.error().message), wordsOf(done.error().mend)}};
    return copy->text(kDraft).value_or(textNow());
}

int FirstJob::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_rows.size()); }

QVariant FirstJob::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Question& question = m_rows[static_cast<std::size_t>(index.row())];
    const meaning::Sheet& sheet = m_session->job().sheet(question.member);
    const meaning::Quantity& q = sheet.at(question.id);
    const job::QuantityView& view = this->view(question);
    const std::string named = keyOf(question);
    switch (role) {
    case Qt::DisplayRole:
    case Qt::AccessibleTextRole: {
        const QString what = whatItIs(sheet, q);
        return what.isEmpty() ? fromUtf8(meaning::plain(meaning::typesetName(q.name))) : what;
    }
    case Qt::EditRole:
        if (const auto typed = m_session->typed(cellOf(index.row()))) return *typed;
        return view.stated ? fromUtf8(view.statedText) : QString();
    case NameRole: return fromUtf8(named);
    case GroupRole: return static_cast<int>(question.group);
    case ListRole: return q.kind == meaning::Kind::List;
    case LinkRole: return isLinked(question) ? fromUtf8(view.statedText) : QString();
    case ShownRole: return view.state == eval::State::Known ? fromUtf8(view.shown) : QString();
    case SymbolRole: return fromUtf8(meaning::plain(meaning::typesetName(q.name)));
    case UnitRole: return isChoice(q) ? QString() : fromUtf8(q.unit.shown);
    case PartRole: return fromUtf8(sheet.parts[q.part].title);
    case ChoiceRole: return isChoice(q);
    case RowsRole:
    case RowWordsRole: {
        const eval::Value& value = m_session->job().value(question.member, q.id);
        const auto& table = value.table ? value.table : q.table;
        QStringList out;
        for (std::uint32_t r = 0; table && r < table->rowCount(); ++r) {
            QString text = fromUtf8(table->rowLabel(r));
            // What the table says in words stands behind the key: the column that says what it is, else its first words.
            std::optional<std::uint32_t> words;
            for (std::uint32_t c = 0; role == RowWordsRole && c < table->columns.size(); ++c) {
                const bool key = std::find(table->keys.begin(), table->keys.end(), c) != table->keys.end();
                if (table->columns[c].text && !key && (!words || table->columns[c].name == "what")) words = c;
            }
            const QString said = words ? fromUtf8(table->texts[*words][r]) : QString();
            if (!said.isEmpty() && said != text) text += QStringLiteral(": ") + said; // "yes" says itself
            out << text;
        }
        return out;
    }
    case NeededRole: return question.needed;
    case StatedRole: return view.stated && view.state == eval::State::Known;
    case DefaultRole: return !view.stated && view.state == eval::State::Known ? fromUtf8(view.shown) : QString();
    case RangeRole: {
        const syntax::Row& row = sheet.document->rows()[q.row];
        const std::string low = bytesOf(row, row->limits.low), high = bytesOf(row, row->limits.high);
        const QString unit = fromUtf8(q.unit.shown);
        const auto with = [&](const std::string& text) {
            // A bare number in a limit has the unit of the row.
            const bool bare = text.find_first_not_of("0123456789.") == std::string::npos && text != "0";
            return bare && !unit.isEmpty() ? fromUtf8(text) + QLatin1Char(' ') + unit : fromUtf8(text);
        };
        if (!low.empty() && !high.empty()) return tr("%1 to %2").arg(with(low), with(high));
        if (!low.empty()) return tr("from %1").arg(with(low));
        return high.empty() ? QString() : tr("up to %1").arg(with(high));
    }
    case SourceRole: return fromUtf8(q.source);
    case AsksFromRole: return question.needed && q.kind == meaning::Kind::Ask && (q.tag == syntax::Tag::Characteristic || !q.source.empty());
    case FromRole: {
        if (!view.statedFrom.empty()) return fromUtf8(view.statedFrom);
        const auto said = m_from.find(named);
        return said != m_from.end() ? said->second : QString();
    }
    case RefusalRole: {
        const auto no = m_refusals.find(named);
        if (no == m_refusals.end()) return {};
        return no->second.mend.isEmpty() ? no->second.message : tr("%1\nmend: %2").arg(no->second.message, no->second.mend);
    }
    case Qt::ToolTipRole: return q.note.empty() ? QVariant() : wordsOf(q.note);
    default: return {};
    }
}

} // namespace spanwright::models

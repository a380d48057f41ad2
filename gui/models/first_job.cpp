// SPDX-License-Identifier: MIT
#include "gui/models/first_job.h"

#include <QHash>

#include <algorithm>
#include <utility>

#include "engine/syntax/document.h"
#include "gui/models/text.h"

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
        return Refusal{all.empty() ? tr("the sheet %1 could not be read").arg(sheet) : fromUtf8(all.front().message),
                       all.empty() ? QString() : fromUtf8(all.front().mend)};
    }
    beginResetModel();
    m_session = std::move(session);
    m_sheet = sheet;
    m_from.clear();
    m_refusals.clear();
    m_rows.clear();
    for (const auto& [known, said] : before) {
        const auto cell = m_session->find(m_session->job().member(0).mark, known);
        if (!cell || m_session->setValue(*cell, said.first) || said.second.isEmpty()) continue;
        const std::string own = m_session->job().member(0).mark, words = toUtf8(said.second), of = known;
        (void)m_session->edit(tr("where %1 comes from").arg(fromUtf8(known)), [own, of, words](job::Job& job) { return job.setSource(own, of, words); });
    }
    m_rows = asked();
    endResetModel();
    Q_EMIT answered();
    return {};
}

const meaning::Quantity& FirstJob::quantity(const Question& q) const { return m_session->job().sheet(0).at(q.id); }

std::vector<FirstJob::Question> FirstJob::asked() const {
    std::vector<Question> out;
    const meaning::Sheet& sheet = m_session->job().sheet(0);
    for (const meaning::Quantity& q : sheet.quantities) {
        const bool settable = q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose;
        if (!settable || q.name.empty() || q.broken) continue;
        const job::QuantityView& view = member().quantities[q.id.index()];
        // What cannot apply is not asked; what depends on an open answer waits for it.
        if (view.state == eval::State::NotApplicable) continue;
        const bool open = q.kind == meaning::Kind::Ask || (isChoice(q) && !q.defaultRow && !sheet.document->rows()[q.row]->key.present());
        if (view.state == eval::State::Blocked && q.condition.valid() && !view.stated) continue;
        out.push_back({q.id, open});
    }
    // What must be answered comes first, each kind in the sheet's order.
    std::stable_partition(out.begin(), out.end(), [](const Question& q) { return q.needed; });
    return out;
}

/// Brings the rows to what is asked now, one run at a time, so that what is typed elsewhere stands.
void FirstJob::relay() {
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
    m_refusals[quantity(m_rows[static_cast<std::size_t>(row)]).name] = why;
    Q_EMIT dataChanged(index(row), index(row));
    return why;
}

Outcome FirstJob::answer(int row, const QString& typed) {
    const meaning::Quantity& q = quantity(m_rows[static_cast<std::size_t>(row)]);
    const std::string name = q.name;
    const CellId cell{0, q.id};
    if (typed.trimmed().isEmpty() && !m_session->view(cell).stated) {
        if (m_refusals.erase(name) > 0) Q_EMIT dataChanged(index(row), index(row));
        return {};
    }
    if (const Outcome no = m_session->setValue(cell, typed)) return refuse(row, *no);
    m_refusals.erase(name);
    // Said before there was a figure: now it has one to stand behind.
    if (const auto said = m_from.find(name); said != m_from.end() && m_session->view(cell).stated) {
        const QString words = said->second;
        if (!sayFrom(row, words)) m_from.erase(name);
    }
    relay();
    return {};
}

Outcome FirstJob::sayFrom(int row, const QString& words) {
    const meaning::Quantity& q = quantity(m_rows[static_cast<std::size_t>(row)]);
    const std::string name = q.name, mark = member().mark, text = toUtf8(words.trimmed());
    const job::QuantityView& view = member().quantities[q.id.index()];
    if (!view.stated) {
        m_from[name] = words.trimmed();
        return {};
    }
    if (view.statedFrom == text) return {};
    const Outcome no =
        m_session->edit(tr("where %1 comes from").arg(fromUtf8(name)), [mark, name, text](job::Job& job) { return job.setSource(mark, name, text); });
    if (no) return refuse(row, *no);
    m_refusals.erase(name);
    Q_EMIT dataChanged(index(row), index(row));
    return {};
}

int FirstJob::rowOf(const std::string& name) const {
    for (std::size_t i = 0; i < m_rows.size(); ++i)
        if (quantity(m_rows[i]).name == name) return static_cast<int>(i);
    return -1;
}

int FirstJob::needed() const {
    return static_cast<int>(std::count_if(m_rows.begin(), m_rows.end(), [](const Question& q) { return q.needed; }));
}

int FirstJob::neededStated() const {
    return static_cast<int>(std::count_if(m_rows.begin(), m_rows.end(),
                                          [this](const Question& q) { return q.needed && member().quantities[q.id.index()].state == eval::State::Known; }));
}

std::string FirstJob::textNow() const { return m_session->job().text(kDraft).value_or(std::string()); }

base::Result<std::string, Refusal> FirstJob::text() {
    // Written into a job of its own, so that the draft stays as it is.
    job::Options options;
    options.library = toUtf8(m_library);
    DraftFiles files(options.library, textNow());
    const auto copy = job::Job::open(files, kDraft, options);
    const std::string mark = member().mark;
    for (const Question& q : m_rows) {
        const meaning::Quantity& quantity_ = quantity(q);
        if (!q.needed || member().quantities[q.id.index()].stated) continue;
        if (const auto done = copy->setValue(mark, quantity_.name, "?"); !done)
            return base::Failure{Refusal{fromUtf8(done.error().message), fromUtf8(done.error().mend)}};
    }
    return copy->text(kDraft).value_or(textNow());
}

int FirstJob::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_rows.size()); }

QVariant FirstJob::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const Question& question = m_rows[static_cast<std::size_t>(index.row())];
    const meaning::Sheet& sheet = m_session->job().sheet(0);
    const meaning::Quantity& q = sheet.at(question.id);
    const job::QuantityView& view = member().quantities[q.id.index()];
    switch (role) {
    case Qt::DisplayRole:
    case Qt::AccessibleTextRole: return fromUtf8(q.what.empty() ? meaning::plain(meaning::typesetName(q.name)) : q.what);
    case Qt::EditRole: return view.stated ? fromUtf8(view.statedText) : QString();
    case NameRole: return fromUtf8(q.name);
    case SymbolRole: return fromUtf8(meaning::plain(meaning::typesetName(q.name)));
    case UnitRole: return isChoice(q) ? QString() : fromUtf8(q.unit.shown);
    case PartRole: return fromUtf8(sheet.parts[q.part].title);
    case ChoiceRole: return isChoice(q);
    case RowsRole:
    case RowWordsRole: {
        const eval::Value& value = m_session->job().value(0, q.id);
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
            if (words && !table->texts[*words][r].empty()) text += QStringLiteral(": ") + fromUtf8(table->texts[*words][r]);
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
        const QString unit = fromUtf8(q.unit.ascii);
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
        const auto said = m_from.find(q.name);
        return said != m_from.end() ? said->second : QString();
    }
    case RefusalRole: {
        const auto no = m_refusals.find(q.name);
        if (no == m_refusals.end()) return {};
        return no->second.mend.isEmpty() ? no->second.message : tr("%1\nmend: %2").arg(no->second.message, no->second.mend);
    }
    case Qt::ToolTipRole: return q.note.empty() ? QVariant() : fromUtf8(q.note);
    default: return {};
    }
}

// ---- pictures

QString firstPictureName(FirstPicture picture) {
    switch (picture) {
    case FirstPicture::Joist: return FirstJob::tr("A joist");
    case FirstPicture::Header: return FirstJob::tr("A header over an opening");
    case FirstPicture::LevelBeam: return FirstJob::tr("A level beam");
    case FirstPicture::RidgeBeam: return FirstJob::tr("A ridge beam");
    case FirstPicture::Post: return FirstJob::tr("Posts and studs");
    }
    return {};
}

QString firstMark(FirstPicture picture) {
    switch (picture) {
    case FirstPicture::Joist: return QStringLiteral("J1");
    case FirstPicture::Header: return QStringLiteral("H1");
    case FirstPicture::LevelBeam: return QStringLiteral("B1");
    case FirstPicture::RidgeBeam: return QStringLiteral("R1");
    case FirstPicture::Post: return QStringLiteral("P1");
    }
    return {};
}

std::optional<FirstPicture> pictureOf(const job::ReadySheet& sheet) {
    // By the sheet's own name, in whatever folder of rules it stands.
    static const QHash<QString, FirstPicture> kKnown{
        {QStringLiteral("floor-joist"), FirstPicture::Joist},
        {QStringLiteral("roof-joist"), FirstPicture::Joist},
        {QStringLiteral("bought-i-joist"), FirstPicture::Joist},
        {QStringLiteral("header"), FirstPicture::Header},
        {QStringLiteral("ply-web-beam"), FirstPicture::LevelBeam},
        {QStringLiteral("nailed-ply-web-beam"), FirstPicture::LevelBeam},
        {QStringLiteral("glulam-beam"), FirstPicture::LevelBeam},
        {QStringLiteral("ridge-beam"), FirstPicture::RidgeBeam},
        {QStringLiteral("stud"), FirstPicture::Post},
        {QStringLiteral("post"), FirstPicture::Post},
    };
    const std::string& name = sheet.name;
    const auto found = kKnown.constFind(fromUtf8(name.substr(name.rfind('/') + 1)));
    if (found == kKnown.cend()) return {};
    return *found;
}

} // namespace spanwright::models

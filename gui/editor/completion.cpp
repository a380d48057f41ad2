// SPDX-License-Identifier: MIT
#include "gui/editor/completion.h"

#include <QCoreApplication>

#include <algorithm>
#include <set>

#include "engine/base/text.h"
#include "engine/meaning/typing.h"
#include "engine/syntax/kinds.h"
#include "engine/units/unit.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::editor {

using models::fromUtf8;
using syntax::RowKind;
using syntax::Token;
using syntax::TokenKind;

namespace {

struct Words {
    Q_DECLARE_TR_FUNCTIONS(Completion)
};

class Finder {
public:
    Finder(models::JobSession& session, const CompletionPlace& place) : m_session(session), m_job(session.job()), m_place(place) {
        for (const Token& t : syntax::tokenize(std::string_view(place.row).substr(0, place.at)))
            if (t.kind != TokenKind::LineEnd) m_tokens.push_back(t);
        if (!m_tokens.empty() && m_tokens.back().kind == TokenKind::Word) {
            m_word = std::string(textOf(m_tokens.back()));
            m_from = m_tokens.back().span.begin;
            m_tokens.pop_back();
        } else {
            m_from = place.at;
        }
        m_touches = !m_tokens.empty() && m_tokens.back().span.end == m_from && m_tokens.back().kind != TokenKind::Blank;
        std::erase_if(m_tokens, [](const Token& t) { return t.kind == TokenKind::Blank; });
    }

    [[nodiscard]] Suggestions find() {
        if (open()) {
            if (m_tokens.empty())
                rowWords();
            else if (m_place.kind == syntax::FileKind::Job)
                inJob();
            else
                inSheet();
        }
        Suggestions out;
        out.from = m_from;
        const QString word = fromUtf8(m_word);
        for (int round = 0; round < 2; ++round)
            for (const Suggestion& s : m_found) {
                const bool begins = s.word.startsWith(word, Qt::CaseInsensitive);
                if (s.word == word || !s.word.contains(word, Qt::CaseInsensitive) || begins != (round == 0)) continue;
                out.list.push_back(s);
            }
        return out;
    }

private:
    [[nodiscard]] std::string_view textOf(const Token& t) const { return t.span.of(m_place.row); }
    [[nodiscard]] std::string_view token(std::size_t fromEnd) const {
        return fromEnd < m_tokens.size() ? textOf(m_tokens[m_tokens.size() - 1 - fromEnd]) : std::string_view();
    }
    [[nodiscard]] std::string_view keyword() const { return m_tokens.empty() ? std::string_view() : textOf(m_tokens.front()); }

    /// True where the language is spoken: not in words, comments or quotes.
    [[nodiscard]] bool open() const {
        static const std::set<std::string_view> kWords{"title",   "basis",    "caution", "assume", "note",  "job", "author",
                                                       "checker", "revision", "date",    "place",  "sheet", "part"};
        for (const Token& t : m_tokens)
            if (t.kind == TokenKind::Comment || t.kind == TokenKind::Dashes || t.kind == TokenKind::Bad) return false;
        if (kWords.count(keyword()) > 0) {
            // A part may have a condition.
            if (keyword() != "part") return false;
            return std::any_of(m_tokens.begin(), m_tokens.end(), [this](const Token& t) { return textOf(t) == "if"; });
        }
        return std::count(m_place.row.begin(), m_place.row.begin() + static_cast<std::ptrdiff_t>(m_from), '"') % 2 == 0;
    }
    [[nodiscard]] bool inUnitBrackets() const {
        for (std::size_t i = m_tokens.size(); i-- > 0;) {
            if (textOf(m_tokens[i]) == "]") return false;
            if (textOf(m_tokens[i]) == "[") return true;
        }
        return false;
    }
    [[nodiscard]] bool has(std::string_view word) const {
        return std::any_of(m_tokens.begin(), m_tokens.end(), [&](const Token& t) { return textOf(t) == word; });
    }

    void add(std::string_view word, const QString& what = {}) {
        if (!word.empty() && m_seen.insert(std::string(word)).second) m_found.push_back({fromUtf8(word), what});
    }
    void addUnits() {
        for (const std::string& name : units::unitNames()) add(name, Words::tr("unit"));
    }
    void addFunctions(const meaning::Sheet* sheet) {
        if (sheet != nullptr)
            for (const meaning::Function& f : sheet->functions) add(f.name, f.what.empty() ? Words::tr("function") : fromUtf8(f.what));
        for (const std::string& name : meaning::languageFunctions()) add(name, Words::tr("function"));
    }
    void addColumns(const meaning::Table& table) {
        for (const auto& column : table.columns)
            add(column.name, column.text ? Words::tr("text of table %1").arg(fromUtf8(table.name))
                                         : Words::tr("of table %1 %2").arg(fromUtf8(table.name), fromUtf8(column.unit.shown)).trimmed());
    }
    static QString whatOf(const meaning::Quantity& q) {
        const QString unit = q.unit.shown.empty() ? QString() : QStringLiteral("[%1]").arg(fromUtf8(q.unit.shown));
        return QStringLiteral("%1 %2").arg(models::wordsOf(q.what), unit).trimmed();
    }
    void addNames(const meaning::Sheet& sheet) {
        for (const meaning::Quantity& q : sheet.quantities)
            if (q.kind != meaning::Kind::Check && q.kind != meaning::Kind::Require) add(q.name, whatOf(q));
        for (const auto& table : sheet.tables)
            if (table && table->isMatrix) add(table->name, Words::tr("table of two keys"));
        for (const char* name : {"pi", "g_n"}) add(name, Words::tr("constant"));
        for (const char* word : {"if", "and", "or", "not"}) add(word);
    }

    void rowWords() {
        if (m_place.kind == syntax::FileKind::Sheet && m_place.document != nullptr && m_place.rowIndex < m_place.document->rows().size()) {
            const auto& rows = m_place.document->rows();
            const std::uint32_t owner = rows[m_place.rowIndex].owner;
            if (owner < rows.size() && rows[owner].kind == RowKind::Sketch) {
                for (const std::string& word : syntax::markWords()) add(word);
                add("end");
                return;
            }
        }
        for (const std::string& word : syntax::rowWords(m_place.kind)) add(word, Words::tr("begins a row"));
    }

    // ---- sheets
    [[nodiscard]] const meaning::Sheet* sheet() const {
        for (std::size_t i = 0; i < m_job.memberCount(); ++i) {
            if (!m_session.hasSheet(i)) continue;
            const meaning::Sheet& s = m_job.sheet(i);
            if (s.document && s.document->file() == m_place.file) return &s;
        }
        return nullptr;
    }

    void inSheet() {
        if (inUnitBrackets()) return addUnits();
        const meaning::Sheet* s = sheet();
        if (s == nullptr) return addFunctions(nullptr);
        if (m_touches && token(0) == ".") {
            if (const meaning::Quantity* q = s->find(syntax::canonicalName(token(1)))) {
                if (q->kind == meaning::Kind::Beam)
                    for (const char* output : {"M", "V", "w", "R"}) add(output, Words::tr("of the beam"));
                else if (q->table)
                    addColumns(*q->table);
            }
            return;
        }
        if ((keyword() == "choose" && token(0) == "from") || (keyword() == "each" && token(0) == "in")) {
            for (const auto& table : s->tables)
                if (table && !table->isMatrix) add(table->name, fromUtf8(table->comment));
            for (const meaning::Quantity& q : s->quantities)
                if (q.kind == meaning::Kind::List) add(q.name, whatOf(q));
            return;
        }
        if (keyword() == "choose" && token(0) != "=") {
            add("from");
            return;
        }
        if (!m_tokens.empty() && m_tokens.back().kind == TokenKind::Number) addUnits();
        // Before the `=` a name is made up, not found.
        static const std::set<std::string_view> kNamed{"ask", "given", "derive", "choose", "each", "define", "list", "table", "matrix"};
        if (kNamed.count(keyword()) > 0 && !has("=") && !has("from") && m_tokens.size() < 2) return;
        addNames(*s);
        addFunctions(s);
    }

    // ---- jobs
    [[nodiscard]] std::optional<std::size_t> ownMember() const {
        if (m_place.document == nullptr) return {};
        const auto& rows = m_place.document->rows();
        for (std::uint32_t i = std::min<std::uint32_t>(m_place.rowIndex + 1, static_cast<std::uint32_t>(rows.size())); i-- > 0;) {
            if (i == m_place.rowIndex && rows[i].kind != RowKind::Member) continue;
            if (rows[i].kind == RowKind::Member) return m_job.memberByMark(rows[i]->name.text);
        }
        return {};
    }
    [[nodiscard]] const meaning::Sheet* sheetOf(std::optional<std::size_t> member) const {
        return member && m_session.hasSheet(*member) ? &m_job.sheet(*member) : nullptr;
    }
    void addMarks() {
        for (std::size_t i = 0; i < m_job.memberCount(); ++i) add(m_job.member(i).mark, fromUtf8(m_job.member(i).purpose));
    }
    void addValuesOf(std::string_view mark) {
        if (const meaning::Sheet* s = sheetOf(m_job.memberByMark(mark)))
            for (const meaning::Quantity& q : s->quantities) add(q.name, whatOf(q));
    }

    /// Its sort first; then the words that go on with it, members and the job's own values.
    void inTrial() {
        if (m_tokens.size() == 1) {
            for (const std::string& sort : syntax::trialWords()) add(sort, Words::tr("sort of trial"));
            return;
        }
        if (m_tokens.back().kind == TokenKind::Number) addUnits();
        // Behind `J1.grade in` stand rows of its table.
        for (std::size_t i = m_tokens.size(); i-- > 3;) {
            if (textOf(m_tokens[i]) != "in" || textOf(m_tokens[i - 2]) != ".") continue;
            const meaning::Sheet* s = sheetOf(m_job.memberByMark(textOf(m_tokens[i - 3])));
            const meaning::Quantity* q = s != nullptr ? s->find(syntax::canonicalName(textOf(m_tokens[i - 1]))) : nullptr;
            if (q == nullptr || q->kind != meaning::Kind::Choose || !q->table) break;
            for (std::uint32_t r = 0; r < std::min<std::size_t>(q->table->rowCount(), 500); ++r)
                add(q->table->rowLabel(r), Words::tr("row of %1").arg(fromUtf8(q->table->name)));
            break;
        }
        for (const std::string& clause : syntax::trialClauses(textOf(m_tokens[1]))) add(clause);
        for (const char* joining : {"from", "to", "by", "in"}) add(joining);
        addMarks();
        for (const std::string& name : m_job.givenNames()) add(name, Words::tr("value of the whole job"));
    }

    void inJob() {
        const std::string_view word = keyword();
        if (inUnitBrackets()) return addUnits();
        if (m_touches && token(0) == ".") return addValuesOf(token(1));
        if (word == "tick" || word == "remark" || word == "answer") {
            if (m_tokens.size() == 1) addMarks();
            return;
        }
        if (word == "trial") return inTrial();
        if (word == "member") {
            if (token(0) != "=" && !has("=")) return;
            // A sheet's name is made of several tokens.
            while (m_tokens.size() > 1 && token(0) != "=") {
                m_from = m_tokens.back().span.begin;
                m_tokens.pop_back();
            }
            m_word = m_place.row.substr(m_from, m_place.at - m_from);
            for (const models::SheetGroup& g : m_session.groups()) add(models::toUtf8(g.name), g.title);
            for (const job::ReadySheet& s : job::readySheets(m_session.files(), models::toUtf8(m_session.library()))) add(s.name, fromUtf8(s.title));
            return;
        }
        const meaning::Sheet* own = sheetOf(ownMember());
        if (word == "list") {
            if (own != nullptr)
                for (const meaning::Quantity& q : own->quantities)
                    if (q.kind == meaning::Kind::List) add(q.name, whatOf(q));
            return;
        }
        if (word == "with" && !has("=")) {
            if (own != nullptr)
                for (const meaning::Quantity& q : own->quantities)
                    if (q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose) add(q.name, whatOf(q));
            return;
        }
        if (word != "with" && word != "given") return;
        if (m_tokens.back().kind == TokenKind::Number) return addUnits();
        if (word == "with" && own != nullptr && m_tokens.size() > 1) {
            const meaning::Quantity* q = own->find(syntax::canonicalName(textOf(m_tokens[1])));
            if (q != nullptr && q->kind == meaning::Kind::Choose && q->table) {
                for (std::uint32_t r = 0; r < std::min<std::size_t>(q->table->rowCount(), 500); ++r)
                    add(q->table->rowLabel(r), Words::tr("row of %1").arg(fromUtf8(q->table->name)));
                return;
            }
        }
        addMarks();
        if (m_place.document != nullptr)
            for (const syntax::Row& row : m_place.document->rows())
                if (row.kind == RowKind::Given) add(row->name.text, fromUtf8(row->what.text));
        addFunctions(nullptr);
    }

    models::JobSession& m_session;
    const job::Job& m_job;
    const CompletionPlace& m_place;
    std::vector<Token> m_tokens; ///< before the word, without blanks
    std::string m_word;
    std::size_t m_from = 0;
    bool m_touches = false; ///< the last token before the word stands right before it
    std::vector<Suggestion> m_found;
    std::set<std::string> m_seen;
};

} // namespace

Suggestions suggestionsAt(models::JobSession& session, const CompletionPlace& place) {
    if (!session.isOpen()) return {};
    return Finder(session, place).find();
}

} // namespace spanwright::editor

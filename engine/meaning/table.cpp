// SPDX-License-Identifier: MIT
#include "engine/meaning/table.h"

#include <limits>

#include "engine/base/text.h"
#include "engine/meaning/sheet.h"

namespace spanwright::meaning {

namespace {

/// Keys are joined by a byte that no text of a table can hold (the language refuses control characters).
constexpr char kKeyJoin = '\x1f';

std::string joined(const std::vector<std::string>& keys) {
    std::string all;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (i > 0) all += kKeyJoin;
        all += keys[i];
    }
    return all;
}

std::string unquoted(std::string_view text) {
    text = base::trimmed(text);
    if (text.size() < 2 || text.front() != '"' || text.back() != '"') return std::string(text);
    std::string plain;
    text = text.substr(1, text.size() - 2);
    for (std::size_t i = 0; i < text.size(); ++i) {
        plain += text[i];
        if (text[i] == '"' && i + 1 < text.size() && text[i + 1] == '"') ++i;
    }
    return plain;
}

/// A table that is wrong in every line says so a few times, then counts.
class CellComplaints {
public:
    CellComplaints(const syntax::CsvTable& csv, std::vector<diag::Diagnostic>& out) : m_csv(csv), m_out(out) {}

    void add(diag::Code code, std::uint32_t row, base::ByteSpan span, std::string message, std::string mend) {
        if (++m_count > kShown) return;
        diag::Diagnostic d;
        d.code = code;
        d.place = {m_csv.file, row, span};
        d.message = std::move(message);
        d.mend = std::move(mend);
        m_out.push_back(std::move(d));
    }
    void finish() {
        if (m_count <= kShown) return;
        m_out.back().notes.push_back("and " + std::to_string(m_count - kShown) + " more like this in the same table");
    }

private:
    static constexpr std::size_t kShown = 20;
    const syntax::CsvTable& m_csv;
    std::vector<diag::Diagnostic>& m_out;
    std::size_t m_count = 0;
};

std::string namesOf(const syntax::CsvTable& csv) {
    std::string all;
    for (const auto& c : csv.columns) all += (all.empty() ? "" : ", ") + c.name.text;
    return all;
}

/// The number in a cell in SI, or nothing with `why` told.
std::optional<double> cellNumber(const std::string& text, const units::Unit& unit, std::string& why, diag::Code& code) {
    if (const auto plain = base::readDouble(text)) return *plain * unit.factor;
    if (text.empty()) {
        why = "the cell is empty";
        return {};
    }
    const auto read = units::readValue(text, &unit);
    if (!read) {
        if (read.error().code == diag::Code::ThousandsMark) code = read.error().code;
        why = read.error().code == diag::Code::ThousandsMark ? read.error().message : "`" + text + "` is not a number";
        return {};
    }
    if (!(read.value().unit.dimension == unit.dimension)) {
        why = "`" + text + "` is in " + (read.value().unit.dimension.isNumber() ? "no unit" : read.value().unit.shown);
        return {};
    }
    return read.value().si;
}

} // namespace

std::optional<std::uint32_t> Table::column(std::string_view wanted) const {
    for (std::uint32_t i = 0; i < columns.size(); ++i) {
        if (columns[i].name == wanted) return i;
    }
    return {};
}

std::optional<std::uint32_t> Table::rowByText(const std::vector<std::string>& wanted) const {
    if (wanted.size() != keys.size()) return {};
    const auto found = index.find(wanted.size() == 1 ? wanted.front() : joined(wanted));
    if (found == index.end()) return {};
    return found->second;
}

std::optional<std::uint32_t> Table::rowByLabel(std::string_view label) const {
    if (keys.size() == 1) return rowByText({unquoted(label)});
    std::vector<std::string> parts;
    bool quoted = false;
    std::size_t from = 0;
    for (std::size_t i = 0; i <= label.size(); ++i) {
        if (i < label.size() && label[i] == '"') quoted = !quoted;
        if (i == label.size() || (label[i] == ',' && !quoted)) {
            parts.push_back(unquoted(label.substr(from, i - from)));
            from = i + 1;
        }
    }
    return rowByText(parts);
}

std::string Table::rowLabel(std::uint32_t row) const {
    std::string label;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (i > 0) label += ", ";
        label += texts[keys[i]][row];
    }
    return label;
}

std::shared_ptr<const Table> makeTable(const syntax::CsvTable& csv, std::string name, const std::vector<std::string>& keys, bool isMatrix,
                                       const units::Unit& matrixUnit, TextPool& texts, std::vector<diag::Diagnostic>& out, const Table* like,
                                       const TakeCell& take) {
    auto table = std::make_shared<Table>();
    table->name = std::move(name);
    table->file = csv.file;
    table->comment = csv.comment;
    table->isMatrix = isMatrix;
    table->matrixUnit = matrixUnit;
    CellComplaints complaints(csv, out);

    // the key columns: those named, else the first
    const std::size_t keyCount = isMatrix ? std::min<std::size_t>(keys.size(), 1) : keys.size();
    for (std::size_t i = 0; i < keyCount; ++i) {
        bool found = false;
        for (std::uint32_t c = 0; c < csv.columns.size() && !found; ++c) {
            if (csv.columns[c].name.text != keys[i]) continue;
            table->keys.push_back(c);
            found = true;
        }
        if (found || csv.columns.empty()) continue;
        std::vector<std::string> candidates;
        for (const auto& c : csv.columns) candidates.push_back(c.name.text);
        const auto near = base::nearest(keys[i], candidates);
        complaints.add(diag::Code::UnknownColumn, csv.headRow, {}, "table `" + table->name + "` has no column `" + keys[i] + "` to be its key",
                       near ? "did you mean `" + *near + "`?" : "name one of its columns: " + namesOf(csv));
    }
    if (table->keys.empty() && !csv.columns.empty()) table->keys.push_back(0);

    const auto isKey = [&](std::size_t c) {
        for (std::uint32_t k : table->keys) {
            if (k == c) return true;
        }
        return false;
    };

    const std::size_t rows = csv.lines.size();
    const std::size_t columnCount = csv.columns.size();
    table->places.reserve(rows);
    for (const auto& line : csv.lines) table->places.push_back(line.row);
    table->columns.reserve(columnCount);
    table->cells.resize(columnCount);
    table->texts.resize(columnCount);
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

    for (std::size_t c = 0; c < columnCount; ++c) {
        const auto& head = csv.columns[c];
        Table::Column column;
        column.name = head.name.text;
        column.text = head.text;
        column.tag = head.tag;
        // what the head of a member's list leaves out stands in the sheet
        const auto declared = like == nullptr ? std::nullopt : like->column(column.name);
        const Table::Column* pattern = declared ? &like->columns[*declared] : nullptr;
        if (pattern != nullptr && !head.text && !head.unit.present()) {
            column.text = pattern->text;
            column.unit = pattern->unit;
        }
        if (pattern != nullptr && column.tag == syntax::Tag::None) column.tag = pattern->tag;
        const bool matrixValue = isMatrix && !isKey(c);
        bool unitKnown = true;
        if (matrixValue) {
            column.unit = matrixUnit;
            table->columnKeys.push_back(head.name.text);
        }
        for (std::size_t before = 0; before < c; ++before) {
            if (table->columns[before].name != column.name) continue;
            complaints.add(diag::Code::DuplicateName, csv.headRow, head.name.span, "column `" + column.name + "` stands twice in table `" + table->name + "`",
                           "give one of them another name");
            break;
        }
        if (!head.text && head.unit.present()) {
            auto read = units::readUnit(head.unit.text);
            if (!read) {
                const auto& e = read.error();
                const auto begin = head.unit.span.begin + e.span.begin;
                const auto end = e.span.empty() ? head.unit.span.end : head.unit.span.begin + e.span.end;
                complaints.add(e.code, csv.headRow, {begin, end}, e.message, e.mend);
                unitKnown = false;
            } else if (matrixValue && !(read.value().dimension == matrixUnit.dimension)) {
                complaints.add(diag::Code::UnlikeDimensions, csv.headRow, head.unit.span, "a matrix holds values of one dimension",
                               "write the same unit in every head, or once behind the matrix's name");
                unitKnown = false;
            } else {
                column.unit = std::move(read).value();
            }
        }

        auto& as = table->texts[c];
        auto& numbers = table->cells[c];
        as.reserve(rows);
        numbers.assign(rows, kNone);
        for (const auto& line : csv.lines) {
            // a line that is too short or too long cannot be trusted in any cell: all its numbers stay unknown
            as.push_back(c < line.cells.size() ? std::string(base::trimmed(line.cells[c].text)) : std::string());
        }
        const bool mayBeText = isKey(c) && !head.unit.present() && column.unit.dimension.isNumber();
        // Keys are names unless all of them are numbers; of a list without rows nobody knows yet.
        if (mayBeText && rows == 0 && !isMatrix) column.text = true;
        if (mayBeText && !column.text) {
            for (std::size_t r = 0; r < rows && !column.text; ++r) column.text = !base::readDouble(as[r]).has_value();
        }
        for (std::size_t r = 0; r < rows; ++r) {
            const auto& line = csv.lines[r];
            if (column.text) {
                numbers[r] = texts.idOf(as[r]);
            } else if (unitKnown && line.cells.size() == columnCount) {
                std::string why;
                diag::Code code = diag::Code::TableCell;
                if (const auto number = cellNumber(as[r], column.unit, why, code)) {
                    numbers[r] = *number;
                } else if (take && !isKey(c) && code == diag::Code::TableCell && take(static_cast<std::uint32_t>(c), static_cast<std::uint32_t>(r), line)) {
                    // what it says is worked out elsewhere
                } else {
                    std::string mend = code == diag::Code::ThousandsMark
                                           ? std::string("write the number without a thousands mark and with a point")
                                           : "write a number" + (column.unit.dimension.isNumber() ? std::string() : " in " + column.unit.shown);
                    if (!isKey(c) && !isMatrix && code == diag::Code::TableCell) mend += ", or mark the column as text: `" + column.name + " [text]`";
                    complaints.add(code, line.row, line.cells[c].span, "column `" + column.name + "` of table `" + table->name + "`: " + why, mend);
                }
            }
        }
        table->columns.push_back(std::move(column));
    }

    // one row a key
    table->index.reserve(rows);
    std::vector<std::string> key(table->keys.size());
    for (std::uint32_t r = 0; r < rows && !table->keys.empty(); ++r) {
        for (std::size_t k = 0; k < key.size(); ++k) key[k] = table->texts[table->keys[k]][r];
        const auto [at, fresh] = table->index.emplace(joined(key), r);
        if (fresh) continue;
        const std::uint32_t first = csv.lines[at->second].row;
        const auto& cells = csv.lines[r].cells;
        const std::size_t c = table->keys.front();
        complaints.add(diag::Code::TableKeyTwice, csv.lines[r].row, c < cells.size() ? cells[c].span : base::ByteSpan{},
                       "table `" + table->name + "` has two rows with the key `" + table->rowLabel(r) + "`",
                       "make the keys differ, or name more key columns with `by`");
        if (!out.empty() && out.back().code == diag::Code::TableKeyTwice && out.back().place.row == csv.lines[r].row) {
            out.back().labels.push_back(
                {{csv.file, first, c < csv.lines[at->second].cells.size() ? csv.lines[at->second].cells[c].span : base::ByteSpan{}}, "first here"});
        }
    }
    // the keys as texts, for formulas that compare or look up by them
    table->rowIds.reserve(rows);
    for (std::uint32_t r = 0; r < rows; ++r) table->rowIds.push_back(texts.idOf(table->rowLabel(r)));
    if (table->keys.size() == 1) {
        table->keyIds.push_back(table->rowIds);
    } else {
        for (const std::uint32_t k : table->keys) {
            std::vector<double>& ids = table->keyIds.emplace_back();
            ids.reserve(rows);
            for (std::uint32_t r = 0; r < rows; ++r) ids.push_back(texts.idOf(table->texts[k][r]));
        }
    }
    for (const std::string& head : table->columnKeys) table->columnIds.push_back(texts.idOf(head));
    complaints.finish();
    return table;
}

std::shared_ptr<const Table> rowsKept(const Table& table, const std::vector<char>& keep) {
    auto out = std::make_shared<Table>();
    out->name = table.name;
    out->file = table.file;
    out->comment = table.comment;
    out->isList = table.isList;
    out->isMatrix = table.isMatrix;
    out->columns = table.columns;
    out->keys = table.keys;
    out->columnKeys = table.columnKeys;
    out->columnIds = table.columnIds;
    out->matrixUnit = table.matrixUnit;
    const auto kept = [&keep](const auto& all) {
        auto some = all;
        some.clear();
        for (std::size_t r = 0; r < all.size() && r < keep.size(); ++r)
            if (keep[r] != 0) some.push_back(all[r]);
        return some;
    };
    for (const auto& column : table.cells) out->cells.push_back(kept(column));
    for (const auto& column : table.texts) out->texts.push_back(kept(column));
    for (const auto& ids : table.keyIds) out->keyIds.push_back(kept(ids));
    out->places = kept(table.places);
    out->rowIds = kept(table.rowIds);
    std::vector<std::string> key(out->keys.size());
    for (std::uint32_t r = 0; r < out->rowCount(); ++r) {
        for (std::size_t k = 0; k < key.size(); ++k) key[k] = out->texts[out->keys[k]][r];
        out->index.emplace(joined(key), r);
    }
    return out;
}

} // namespace spanwright::meaning

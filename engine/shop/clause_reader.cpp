// SPDX-License-Identifier: MIT
#include "engine/shop/clause_reader.h"

#include <algorithm>

#include "engine/base/text.h"
#include "engine/shop/money.h"

namespace spanwright::shop {

using diag::Code;

namespace {

/// The parts of `text` between free-standing words `word`.
std::vector<std::string_view> split(std::string_view text, std::string_view word) {
    const std::string between = " " + std::string(word) + " ";
    std::vector<std::string_view> out;
    for (;;) {
        const std::size_t at = text.find(between);
        out.push_back(base::trimmed(text.substr(0, at)));
        if (at == std::string_view::npos) return out;
        text.remove_prefix(at + between.size());
    }
}

} // namespace

namespace {

constexpr std::string_view kRange = "+-", kRangeSign = "\u00B1";

/// Where `+-` stands in `text`, and how wide it is.
std::pair<std::size_t, std::size_t> rangeSign(std::string_view text) {
    const std::size_t ascii = text.find(kRange), sign = text.find(kRangeSign);
    return ascii <= sign ? std::pair{ascii, kRange.size()} : std::pair{sign, kRangeSign.size()};
}

/// "3.90 EUR/m", "64 EUR each".
base::Result<units::Written, units::ReadError> readMoney(std::string_view text) {
    text = base::trimmed(text);
    constexpr std::string_view kEach = " each";
    return units::readValue(text.ends_with(kEach) ? base::trimmed(text.substr(0, text.size() - kEach.size())) : text);
}

} // namespace

std::string readPrice(std::string_view text, Price& into) {
    text = base::trimmed(text);
    const auto [sign, width] = rangeSign(text);
    const auto read = readMoney(text.substr(0, sign));
    if (!read) return read.error().message;
    const units::Written& w = read.value();
    const auto& money = w.unit.dimension.currencies();
    if (money.size() != 1 || money.front().second != units::Rational{1, 1}) return "this is no price";
    if (!(w.si >= 0.0) || w.si > 1e12) return "a price is no less than nothing and no more than 1e12";
    double half = 0.0;
    if (sign != std::string_view::npos) {
        const std::string_view written = base::trimmed(text.substr(sign + width));
        const auto range = readMoney(written);
        if (!range) return "behind `+-`: " + range.error().message;
        const bool share = range.value().unit.dimension.isNumber() && written.ends_with('%');
        if (!share && range.value().unit.dimension != w.unit.dimension)
            return "behind `+-` stands a share such as `5 %`, or money for the same unit as before it";
        half = share ? range.value().si * w.si : range.value().si;
        if (!(half >= 0.0)) return "what stands behind `+-` is no less than nothing";
        if (half > w.si) return "the range reaches below nothing: what stands behind `+-` is no more than the price";
    }
    into.text = std::string(text);
    into.amount = w.si;
    into.half = half;
    into.currency = money.front().first;
    into.per = units::Dimension::currency(into.currency).over(w.unit.dimension);
    return {};
}

ClauseReader::ClauseReader(const syntax::Document& document, std::uint32_t row, std::vector<diag::Diagnostic>& out)
    : m_document(document), m_row(row), m_out(out), m_clauses(document.rows()[row]->clauses) {}

bool ClauseReader::next() {
    ++m_at;
    m_from = 0;
    return m_at < m_clauses.size();
}

std::string_view ClauseReader::rest() const { return base::trimmed(std::string_view(m_clauses[m_at].text.text).substr(m_from)); }

base::ByteSpan ClauseReader::restSpan() const {
    const base::ByteSpan whole = m_clauses[m_at].text.span;
    const std::string_view text = m_clauses[m_at].text.text;
    const std::size_t first = std::min(text.find_first_not_of(" \t", m_from), text.size() - 1);
    return {whole.begin + static_cast<std::uint32_t>(first), whole.end};
}

std::string ClauseReader::text() const {
    std::string_view t = rest();
    if (t.size() >= 2 && t.front() == '"' && t.back() == '"') t = t.substr(1, t.size() - 2);
    return std::string(t);
}

bool ClauseReader::is(std::string_view word) const { return rest() == word; }

bool ClauseReader::take(std::string_view word) {
    const std::string_view t = rest();
    if (t.substr(0, word.size()) != word || t.size() <= word.size() || (t[word.size()] != ' ' && t[word.size()] != '\t')) return false;
    if (std::find(m_taken.begin(), m_taken.end(), word) != m_taken.end())
        tell(Code::ShopTwice, "`" + std::string(word) + "` is said twice here", "take one of them out");
    m_taken.emplace_back(word);
    m_from = m_clauses[m_at].text.text.find(word) + word.size();
    return true;
}

bool ClauseReader::looksLikeMoney() const {
    Price p;
    const std::string_view t = rest();
    // A price whose range is wrong is money all the same.
    const std::size_t cut = std::min({t.find(" on "), t.find(" until "), rangeSign(t).first});
    return readPrice(t.substr(0, cut), p).empty();
}

bool ClauseReader::value(units::Written& into) const {
    const auto read = units::readValue(rest());
    if (!read) {
        tell(Code::ShopClause, read.error().message, read.error().mend.empty() ? "write a number with its unit" : read.error().mend);
        return false;
    }
    into = read.value();
    return true;
}

bool ClauseReader::number(double& into, double least, double most, std::string_view wanted) const {
    units::Written v;
    if (!value(v)) return false;
    if (!v.unit.dimension.isNumber() || !(v.si >= least && v.si <= most)) {
        tell(Code::ShopUnits, "this is not " + std::string(wanted), "write " + std::string(wanted));
        return false;
    }
    into = v.si;
    return true;
}

bool ClauseReader::length(double& into, double least, double most) const { return sizes({&into}, least, most); }

bool ClauseReader::sizes(std::initializer_list<double*> into, double least, double most) const {
    const std::vector<std::string_view> parts = split(rest(), "by");
    if (parts.size() != into.size()) {
        const char* form = into.size() == 1 ? "one length" : into.size() == 2 ? "two lengths, `A by B`" : "three lengths, `T by B by L`";
        tell(Code::ShopClause, std::string(form) + (into.size() == 1 ? " belongs here" : " belong here"), std::string("write ") + form);
        return false;
    }
    std::size_t i = 0;
    for (double* to : into) {
        const auto read = units::readValue(parts[i++]);
        if (!read) {
            tell(Code::ShopClause, read.error().message, read.error().mend.empty() ? "write a length with its unit" : read.error().mend);
            return false;
        }
        const units::Written& v = read.value();
        const bool zero = v.si == 0.0 && v.unit.dimension.isNumber() && least <= 0.0;
        if (!zero && v.unit.dimension != units::Dimension::of(units::Base::Length)) {
            tell(Code::ShopUnits, "`" + std::string(parts[i - 1]) + "` is no length", "write a length with its unit, such as `47 mm`");
            return false;
        }
        if (!(v.si >= least && v.si <= most)) {
            tell(Code::ShopUnits, "`" + std::string(parts[i - 1]) + "` is " + (v.si < least ? "too small" : "too large") + " for what it stands for",
                 least > 0.0 ? "a size is more than nothing" : "see its unit");
            return false;
        }
        *to = v.si;
    }
    return true;
}

bool ClauseReader::date(std::string_view text, std::string& into) const {
    text = base::trimmed(text);
    if (!isDate(text)) {
        tell(Code::ShopClause, "`" + std::string(text) + "` is no date", "write it as 2026-05-04");
        return false;
    }
    if (!into.empty()) tell(Code::ShopTwice, "this date is stated twice", "take one of them out");
    into = std::string(text);
    return true;
}

bool ClauseReader::price(Price& into) {
    if (into.stated()) {
        tell(Code::ShopClause, "`" + std::string(rest()) + "` cannot be read here", "see sheets/README.md for the clauses of this row");
        return false;
    }
    std::string_view t = rest();
    const std::string until = into.until, on = into.on;
    std::string_view untilText, onText;
    if (const std::size_t at = t.find(" until "); at != std::string_view::npos) {
        untilText = t.substr(at + 7);
        t = t.substr(0, at);
    }
    if (const std::size_t at = t.find(" on "); at != std::string_view::npos) {
        onText = t.substr(at + 4);
        t = t.substr(0, at);
    }
    if (const std::string wrong = readPrice(t, into); !wrong.empty()) {
        tell(Code::ShopClause, "`" + std::string(base::trimmed(t)) + "` cannot be read here: " + wrong,
             rangeSign(t).first != std::string_view::npos ? "write a price with its range such as `3.90 EUR/m +- 0.30 EUR/m on 2026-05-04`"
                                                          : "write a price such as `3.90 EUR/m on 2026-05-04`, or one of the row's clauses");
        return false;
    }
    into.on = on;
    into.until = until;
    into.source = "the job";
    into.place = m_document.place(m_row, restSpan());
    if (!onText.empty() && !date(onText, into.on)) return false;
    return untilText.empty() || date(untilText, into.until);
}

bool ClauseReader::dates(Price& into) {
    const std::string_view t = rest();
    if (t.substr(0, 3) == "on ") return date(t.substr(3), into.on) || true;
    if (t.substr(0, 6) == "until ") return date(t.substr(6), into.until) || true;
    return false;
}

std::string ClauseReader::word() const {
    const std::string t = text();
    if (syntax::isName(t)) return syntax::canonicalName(t);
    tell(Code::ShopClause, "`" + t + "` is no operation", "write the word that pieces call it by, such as `groove`");
    return {};
}

void ClauseReader::tell(diag::Code code, base::ByteSpan span, std::string message, std::string mend) const {
    diag::Diagnostic d;
    d.code = code;
    d.place = m_document.place(m_row, span);
    d.message = std::move(message);
    d.mend = std::move(mend);
    m_out.push_back(std::move(d));
}

void ClauseReader::tell(diag::Code code, std::string message, std::string mend) const { tell(code, restSpan(), std::move(message), std::move(mend)); }

void ClauseReader::tellRow(diag::Code code, std::string message, std::string mend) const {
    tell(code, m_document.rows()[m_row]->name.span, std::move(message), std::move(mend));
}

void ClauseReader::missing(const std::string& what) const {
    const syntax::Row& row = m_document.rows()[m_row];
    tell(Code::ShopClause, row->name.present() ? row->name.span : row->keyword.span, "this `" + row->keyword.text + "` lacks " + what,
         "write it behind a comma");
}

void ClauseReader::unknown(const std::string& known) const {
    tell(Code::ShopClause, "`" + std::string(rest()) + "` cannot be read here", "this row knows " + known);
}

} // namespace spanwright::shop

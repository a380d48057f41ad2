// SPDX-License-Identifier: MIT
// Edits of a job's members as wholes. Each is made in a copy of the text, which then takes the text's place: so
// that every other byte stays, and what a plain-text editor could do is all that happens.
#include <algorithm>
#include <cmath>

#include "engine/base/text.h"
#include "engine/job/job_text.h"

namespace spanwright::job {

using diag::Code;
using syntax::Row;
using syntax::RowKind;

namespace {

std::string ticked(std::string_view text) { return "`" + std::string(text) + "`"; }

bool isBlank(const syntax::Document& d, std::uint32_t row) { return row < d.rows().size() && d.rows()[row].kind == RowKind::Blank; }

/// Edits that give a mark another name wherever `span` of a row reads "old.".
void renameIn(std::vector<syntax::RowEdit>& edits, std::uint32_t index, const Row& row, base::ByteSpan span, std::string_view old, std::string_view now) {
    const std::vector<syntax::Token> tokens = syntax::tokenize(row.text);
    for (std::size_t i = 0; i + 1 < tokens.size(); ++i) {
        const syntax::Token& t = tokens[i];
        if (t.kind != syntax::TokenKind::Word || t.span.begin < span.begin || t.span.end > span.end) continue;
        if (syntax::canonicalName(t.span.of(row.text)) != old || tokens[i + 1].span.of(row.text) != ".") continue;
        // `a.J1.x` is no mark.
        if (i > 0 && tokens[i - 1].span.of(row.text) == ".") continue;
        edits.push_back({index, t.span, std::string(now)});
    }
}

/// The same in a trial, which may name the member alone.
void renameInTrial(std::vector<syntax::RowEdit>& edits, std::uint32_t index, const Row& row, std::string_view old, std::string_view now) {
    for (const syntax::Clause& c : row->clauses) {
        if (c.word.text == "sure" && c.text.text == old)
            edits.push_back({index, c.text.span, std::string(now)});
        else
            renameIn(edits, index, row, c.text.span, old, now);
    }
}

/// True when what a trial varies or asks about is of that member alone: without it the trial says nothing.
bool triesOnly(const Row& row, std::string_view mark) {
    bool any = false;
    for (const syntax::Clause& c : row->clauses) {
        const std::string& word = c.word.text;
        if (word == "show" || word == "until" || word == "within" || word == "order" || word == "samples" || word == "seed" || !c.text.present()) continue;
        const std::string_view name = std::string_view(c.text.text).substr(0, c.text.text.find_first_of(" \t"));
        if (word == "sure" ? name != mark : name.rfind('.') == std::string_view::npos || name.substr(0, name.rfind('.')) != mark) return false;
        any = true;
    }
    return any;
}

/// What is wrong with a mark for a new member; nothing if it may be used.
std::optional<base::Failure<diag::Diagnostic>> wrongMark(const Job& job, std::string_view mark) {
    if (!syntax::isName(mark))
        return refuse(Code::BadName, ticked(mark) + " cannot be a mark", "begin with a letter and go on with letters, digits or `_`, such as `J2`");
    if (job.memberByMark(syntax::canonicalName(mark)))
        return refuse(Code::MemberTwice, "there is a member " + ticked(mark) + " already", "take another mark", mark);
    return std::nullopt;
}

} // namespace

Job::Done Job::addMember(std::string_view sheetName, std::string_view mark, std::string_view purpose) {
    if (isSingleSheet()) return noJob();
    if (auto wrong = wrongMark(*this, mark)) return *wrong;
    if (!plainWords(purpose) || !plainWords(sheetName) || base::trimmed(sheetName).empty())
        return refuse(Code::ValueMalformed, "a member's sheet and purpose stand on one line and hold no ` -- `", "write plain words", mark);
    syntax::Document d = documentOf(*this);
    // Behind the last member; before what follows it, such as ticks.
    std::uint32_t at = static_cast<std::uint32_t>(d.rows().size());
    if (memberCount() > 0) {
        std::uint32_t last = 0;
        for (std::size_t i = 0; i < memberCount(); ++i) last = std::max(last, member(i).row);
        at = extentOf(d, last).end;
    }
    const std::string end = lineEndOf(d);
    std::string row = "member  " + std::string(mark) + " = " + std::string(base::trimmed(sheetName));
    if (!base::trimmed(purpose).empty()) row += " -- " + std::string(base::trimmed(purpose));
    putBefore(d, at, (at > 0 && !isBlank(d, at - 1) ? end : std::string()) + row + end);
    return setText(path(), d.text());
}

Job::Done Job::setList(std::string_view mark, std::string_view name, std::string_view lines) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    const std::string canonical = syntax::canonicalName(name);
    const meaning::Quantity* q = sheet(*index).find(canonical);
    if (q == nullptr || q->kind != meaning::Kind::List)
        return refuse(Code::NotSettable, ticked(name) + " is no list of " + std::string(mark), "take a list of its sheet", mark);
    if (!base::isUtf8(lines) || lines.find('\0') != std::string_view::npos)
        return refuse(Code::ValueMalformed, "the lines of a list are text in UTF-8", "write them as CSV with a head", mark);
    syntax::Document d = documentOf(*this);
    const std::string end = lineEndOf(d);
    const std::string indent = "        ";
    std::string block = indent + "list  " + canonical + end;
    for (std::size_t from = 0; from < lines.size();) {
        const std::size_t stop = std::min(lines.find('\n', from), lines.size());
        const std::string line(base::trimmed(lines.substr(from, stop - from)));
        if (line == "end") return refuse(Code::ValueMalformed, "a line of a list cannot read `end`", "write it in double quotes", mark);
        if (!line.empty()) block += indent + line + end;
        from = stop + 1;
    }
    block += indent + "end" + end;
    const Extent e = extentOf(d, member(*index).row);
    std::uint32_t first = e.end;
    std::uint32_t count = 0;
    for (std::uint32_t i = e.first; i < e.end; ++i) {
        if (d.rows()[i].kind != syntax::RowKind::List || d.rows()[i]->name.text != canonical || d.rows()[i].owner != e.first) continue;
        first = i;
        count = 1;
        while (first + count < e.end && d.rows()[first + count].owner == i) ++count;
        break;
    }
    // A note under the member stands behind its lists.
    while (count == 0 && first > e.first + 1 && d.rows()[first - 1].kind == syntax::RowKind::Note) --first;
    if (count > 0) d.erase(first, count);
    putBefore(d, first, block);
    return setText(path(), d.text());
}

Job::Done Job::duplicateMember(std::string_view mark, std::string_view newMark) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    if (auto wrong = wrongMark(*this, newMark)) return *wrong;
    syntax::Document d = documentOf(*this);
    const Extent e = extentOf(d, member(*index).row);
    auto copy = syntax::Document::read("copy", syntax::FileKind::Job, textOf(d, e));
    copy.apply({{0, copy.rows()[0]->name.span, std::string(newMark)}});
    const std::string gap = e.first > 0 && isBlank(d, e.first - 1) ? lineEndOf(d) : std::string();
    putBefore(d, e.end, gap + copy.text());
    return setText(path(), d.text());
}

Job::Done Job::removeMember(std::string_view mark) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    syntax::Document d = documentOf(*this);
    Extent e = extentOf(d, member(*index).row);
    // One of the blank rows around it goes with it.
    if (isBlank(d, e.end) && (e.first == 0 || isBlank(d, e.first - 1)))
        ++e.end;
    else if (e.end == d.rows().size() && e.first > 0 && isBlank(d, e.first - 1))
        --e.first;
    d.erase(e.first, e.end - e.first);
    // Ticks and remarks of a member that is no more say nothing any longer.
    for (std::uint32_t i = static_cast<std::uint32_t>(d.rows().size()); i-- > 0;) {
        const Row& row = d.rows()[i];
        if ((row.kind == RowKind::Tick || row.kind == RowKind::Remark) && row->member.text == mark) d.erase(i, 1);
        if (row.kind == RowKind::Trial && triesOnly(row, mark)) d.erase(i, 1);
    }
    return setText(path(), d.text());
}

Job::Done Job::renameMember(std::string_view mark, std::string_view newMark) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    if (mark == newMark) return true;
    if (auto wrong = wrongMark(*this, newMark)) return *wrong;
    syntax::Document d = documentOf(*this);
    std::vector<syntax::RowEdit> edits;
    for (std::uint32_t i = 0; i < d.rows().size(); ++i) {
        const Row& row = d.rows()[i];
        if (i == member(*index).row)
            edits.push_back({i, row->name.span, std::string(newMark)});
        else if (row.kind == RowKind::With)
            renameIn(edits, i, row, row->key.span, mark, newMark);
        else if (row.kind == RowKind::TableLine && row.owner < d.rows().size() && d.rows()[row.owner].kind == RowKind::List)
            renameIn(edits, i, row, {0, static_cast<std::uint32_t>(row.text.size())}, mark, newMark);
        else if (row.kind == RowKind::Given)
            renameIn(edits, i, row, row->formula.span, mark, newMark);
        else if (row.kind == RowKind::Instead && row->name.text == mark)
            edits.push_back({i, row->name.span, std::string(newMark)});
        else if ((row.kind == RowKind::Tick || row.kind == RowKind::Remark) && row->member.text == mark)
            edits.push_back({i, row->member.span, std::string(newMark)});
        else if (row.kind == RowKind::Trial)
            renameInTrial(edits, i, row, mark, newMark);
    }
    d.apply(edits);
    return setText(path(), d.text());
}

Job::Done Job::moveMember(std::string_view mark, std::size_t place) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    place = std::min(place, memberCount() - 1);
    if (place == *index) return true;
    syntax::Document d = documentOf(*this);
    const Extent e = extentOf(d, member(*index).row);
    // Into the place of the member that stands there: before it when moving up, behind it when moving down.
    const Extent other = extentOf(d, member(place).row);
    const bool up = place < *index;
    const std::string text = textOf(d, e);
    const std::string end = lineEndOf(d);
    const bool spaced = e.first > 0 && isBlank(d, e.first - 1);
    const auto cut = [&] {
        // The blank row before it moves with it.
        const std::uint32_t first = spaced ? e.first - 1 : e.first;
        d.erase(first, e.end - first);
    };
    if (up) {
        cut();
        putBefore(d, other.first, text + (spaced ? end : std::string()));
    } else {
        putBefore(d, other.end, (spaced ? end : std::string()) + text);
        cut();
    }
    return setText(path(), d.text());
}

Job::Done Job::setCount(std::string_view mark, std::string_view countText) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    const std::string text(base::trimmed(countText));
    const auto count = base::readDouble(text);
    if (!count || *count < 1 || *count != std::floor(*count))
        return refuse(Code::BadCount, ticked(text) + " is no count", "write a whole number above zero, such as `14`", mark);
    syntax::Document d = documentOf(*this);
    const Extent e = extentOf(d, member(*index).row);
    for (std::uint32_t i = e.first + 1; i < e.end; ++i) {
        const Row& row = d.rows()[i];
        if (row.kind != RowKind::Off || !row->count.present()) continue;
        d.apply({{i, row->count.span, text}});
        return setText(path(), d.text());
    }
    std::string start = "        ";
    if (e.first + 1 < e.end) {
        const std::string& next = d.rows()[e.first + 1].text;
        start = next.substr(0, std::min(next.find_first_not_of(" \t"), next.size()));
    }
    putBefore(d, e.first + 1, start + "off   " + text + lineEndOf(d));
    return setText(path(), d.text());
}

Job::Done Job::setPurpose(std::string_view mark, std::string_view purpose) {
    if (isSingleSheet()) return noJob();
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    const std::string text(base::trimmed(purpose));
    if (!plainWords(text)) return refuse(Code::ValueMalformed, "a purpose stands on one line and holds no ` -- `", "write plain words", mark);
    syntax::Document d = documentOf(*this);
    const std::uint32_t at = member(*index).row;
    const Row& row = d.rows()[at];
    if (row->what.present()) {
        d.apply({{at, row->what.span, text}});
    } else if (!text.empty()) {
        const auto end = static_cast<std::uint32_t>(std::min(row.text.find_last_not_of(" \t\r\n") + 1, row.text.size()));
        d.apply({{at, {end, end}, " -- " + text}});
    }
    return setText(path(), d.text());
}

Job::Done Job::takeBack(std::string_view mark, std::string_view name) {
    if (isSingleSheet())
        return refuse(Code::NotSettable, "a sheet that stands alone cannot do without its own values", "write another value, or use the sheet in a job");
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    syntax::Document d = documentOf(*this);
    const Extent e = extentOf(d, member(*index).row);
    const std::string canonical = syntax::canonicalName(name);
    bool found = false;
    for (std::uint32_t i = e.end; i-- > e.first + 1;) {
        const Row& row = d.rows()[i];
        const bool list = row.kind == RowKind::List && row.owner == e.first;
        if ((row.kind != RowKind::With && !list) || row->name.text != canonical) continue;
        std::uint32_t end = i + 1;
        while (list && end < d.rows().size() && d.rows()[end].owner == i) ++end;
        d.erase(i, end - i);
        found = true;
    }
    return found ? setText(path(), d.text()) : Done(true);
}

} // namespace spanwright::job

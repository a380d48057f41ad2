// SPDX-License-Identifier: MIT
// A trial pinned into a job: what is to be tried, as words. What its names and values mean is for the trial to say.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/syntax/kinds.h"
#include "engine/syntax/letters.h"
#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

struct Word {
    std::uint32_t begin = 0, end = 0;
    bool free = false; ///< stands outside quotes and brackets
};

/// What stands between blanks in [from, end).
[[nodiscard]] std::vector<Word> wordsOf(std::string_view text, std::size_t from, std::size_t end) {
    std::vector<Word> out;
    bool quoted = false;
    int depth = 0;
    for (std::size_t i = from; i < end;) {
        if (isBlank(text[i]) || text[i] == '\n' || text[i] == '\r') {
            ++i;
            continue;
        }
        Word w{static_cast<std::uint32_t>(i), 0, !quoted && depth == 0};
        for (; i < end && !isBlank(text[i]) && text[i] != '\n' && text[i] != '\r'; ++i) {
            if (text[i] == '"') quoted = !quoted;
            if (quoted) continue;
            if (text[i] == '(') ++depth;
            if (text[i] == ')' && depth > 0) --depth;
        }
        w.end = static_cast<std::uint32_t>(i);
        out.push_back(w);
    }
    return out;
}

[[nodiscard]] std::string formOf(std::string_view trial) {
    if (trial == "reach") return "write `trial reach largest J1.L`, `trial reach J1.h` or `trial reach J1.h until J1.w_fin = 12 mm`";
    if (trial == "weigh") return "write `trial weigh J1.bending`";
    if (trial == "sure") return "write `trial sure J1`, or `trial sure` for every member";
    return "write `trial vary J1.h from 160 mm to 260 mm by 20 mm show J1.w_fin`";
}

} // namespace

/// trial vary | reach | weigh | sure, then clauses
void RowReader::trial() {
    const std::string_view text = m_chunk.text;
    const std::size_t from = m_parts.keyword.span.end, end = findCut(text, from);
    if (end < text.size()) {
        const std::size_t second = findCut(text, end + 2);
        m_parts.what = textSpot(end + 2, second);
        m_parts.source = textSpot(std::min(second + 2, text.size()), text.size());
    }
    const std::vector<Word> words = wordsOf(text, from, end);
    if (words.empty()) return complain(Code::RowIncomplete, m_parts.keyword.span, "this `trial` says nothing", formOf({}));
    const Spot sort = textSpot(words[0].begin, words[0].end);
    const auto& sorts = trialWords();
    if (std::find(sorts.begin(), sorts.end(), sort.text) == sorts.end()) {
        const auto near = base::nearest(sort.text, sorts);
        return complain(Code::TrialPinned, sort.span, "`" + sort.text + "` is no sort of trial",
                        near ? "write `" + *near + "` if that is meant" : "the sorts are vary, reach, weigh and sure");
    }
    const auto& clauses = trialClauses(sort.text);
    Clause now{sort, {}, {}};
    std::size_t first = 1; // of the words of the clause that is being read
    const auto take = [&](std::size_t stop) {
        if (stop > first) now.text = textSpot(words[first].begin, words[stop - 1].end);
        const auto twice = [&](const Clause& c) { return c.word.text == now.word.text; };
        if (now.word.text != "and" && std::any_of(m_parts.clauses.begin(), m_parts.clauses.end(), twice))
            complain(Code::RowTwice, now.word.span, "`" + now.word.text + "` stands twice in this trial", "take one of them out");
        m_parts.clauses.push_back(now);
    };
    for (std::size_t i = 1; i < words.size(); ++i) {
        const std::string_view word = text.substr(words[i].begin, words[i].end - words[i].begin);
        if (!words[i].free || std::find(clauses.begin(), clauses.end(), word) == clauses.end()) continue;
        take(i);
        now = {textSpot(words[i].begin, words[i].end), {}, {}};
        first = i + 1;
    }
    take(words.size());
    if (!m_parts.complaints.empty()) return;
    const auto has = [&](std::string_view word) {
        return std::any_of(m_parts.clauses.begin(), m_parts.clauses.end(), [&](const Clause& c) { return c.word.text == word; });
    };
    for (const Clause& c : m_parts.clauses) {
        const std::string& word = c.word.text;
        const bool flag = word == "normal" || word == "calculated";
        const bool alone = flag || word == "sure" || (word == "reach" && (has("largest") || has("smallest")));
        if (flag && c.text.present()) return complain(Code::RowTooMuch, c.text.span, "nothing stands behind `" + word + "`", "take that out");
        if (word == "reach" && alone && c.text.present())
            return complain(Code::RowTooMuch, c.text.span, "`reach` names one value, behind `largest` or `smallest` if they are there", "take one of them out");
        if (!alone && !c.text.present()) return complain(Code::RowIncomplete, c.word.span, "nothing stands behind `" + word + "`", formOf(sort.text));
    }
    if (has("largest") && has("smallest"))
        return complain(Code::RowTwice, m_parts.clauses.back().word.span, "a trial looks for the largest or the smallest, not for both",
                        "take one of them out");
    if (has("until") && (has("largest") || has("smallest")))
        complain(Code::RowTwice, m_parts.keyword.span, "`until` looks for one value of a quantity, `largest` and `smallest` for the last that passes",
                 "keep one of them");
}

} // namespace spanwright::syntax

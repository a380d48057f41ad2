// SPDX-License-Identifier: MIT
#include "engine/syntax/kinds.h"

#include <algorithm>
#include <unordered_map>

namespace spanwright::syntax {

namespace {

constexpr KindInfo kKinds[] = {
    // word, kind, in a sheet, in a job, free text
    {"sheet", RowKind::Sheet, true, false, true},
    {"title", RowKind::Title, true, false, true},
    {"basis", RowKind::Basis, true, false, true},
    {"caution", RowKind::Caution, true, false, true},
    {"use", RowKind::Use, true, false, true},
    {"part", RowKind::Part, true, false, false},
    {"otherwise", RowKind::Otherwise, true, false, true},
    {"ask", RowKind::Ask, true, false, false},
    {"given", RowKind::Given, true, true, false},
    {"choose", RowKind::Choose, true, false, true},
    {"each", RowKind::Each, true, false, true},
    {"derive", RowKind::Derive, true, false, false},
    {"check", RowKind::Check, true, false, false},
    {"require", RowKind::Require, true, false, false},
    {"assume", RowKind::Assume, true, false, true},
    {"define", RowKind::Define, true, false, false},
    {"beam", RowKind::Beam, true, false, false},
    {"stiffness", RowKind::Stiffness, true, false, false},
    {"support", RowKind::Support, true, false, false},
    {"load", RowKind::Load, true, false, false},
    {"end", RowKind::End, true, true, true},
    {"plot", RowKind::Plot, true, false, false},
    {"piece", RowKind::Piece, true, false, false},
    {"list", RowKind::List, true, true, true},
    {"table", RowKind::Table, true, false, true},
    {"matrix", RowKind::Matrix, true, false, true},
    {"note", RowKind::Note, true, true, true},
    {"schedule", RowKind::Schedule, true, false, false},
    {"sketch", RowKind::Sketch, true, true, true}, // told to be misplaced in a job, whole
    {"job", RowKind::Job, false, true, true},
    {"author", RowKind::Author, false, true, true},
    {"checker", RowKind::Checker, false, true, true},
    {"revision", RowKind::Revision, false, true, true},
    {"date", RowKind::Date, false, true, true},
    {"place", RowKind::Place, false, true, true},
    {"prices", RowKind::Prices, false, true, true},
    {"member", RowKind::Member, false, true, true},
    {"off", RowKind::Off, false, true, false},
    {"instead", RowKind::Instead, false, true, false},
    {"with", RowKind::With, false, true, false},
    {"tick", RowKind::Tick, false, true, true},
    {"rate", RowKind::Rate, false, true, false},
    {"remark", RowKind::Remark, false, true, true},
    {"answer", RowKind::Remark, false, true, true},
    {"trial", RowKind::Trial, false, true, true},
    {"stock", RowKind::Stock, false, true, true},
    {"saw", RowKind::Saw, false, true, true},
    {"labour", RowKind::Labour, false, true, true},
    {"tool", RowKind::Tool, false, true, true},
    {"consumable", RowKind::Consumable, false, true, true},
    {"overhead", RowKind::Overhead, false, true, true},
    {"waste", RowKind::Waste, false, true, true},
    {"moisture", RowKind::Moisture, false, true, true},
    {"currency", RowKind::Currency, false, true, true},
    {"lift", RowKind::Lift, false, true, true},
};

} // namespace

const KindInfo* kindOf(std::string_view word) {
    static const std::unordered_map<std::string_view, const KindInfo*> map = [] {
        std::unordered_map<std::string_view, const KindInfo*> made;
        for (const KindInfo& k : kKinds) made.emplace(k.word, &k);
        return made;
    }();
    const auto at = map.find(word);
    return at == map.end() ? nullptr : at->second;
}

bool isShopRow(RowKind kind) { return kind >= RowKind::Stock && kind <= RowKind::Lift; }

std::string_view wordOf(RowKind kind) {
    if (kind == RowKind::Mark) return {};
    const auto* at = std::find_if(std::begin(kKinds), std::end(kKinds), [kind](const KindInfo& k) { return k.kind == kind; });
    return at == std::end(kKinds) ? std::string_view{} : at->word;
}

const std::vector<std::string>& trialWords() {
    static const std::vector<std::string> words{"vary", "reach", "weigh", "sure"};
    return words;
}

const std::vector<std::string>& trialClauses(std::string_view trial) {
    static const std::vector<std::string> vary{"and", "show", "largest", "smallest"};
    static const std::vector<std::string> reach{"largest", "smallest", "until", "within", "order"};
    static const std::vector<std::string> sure{"samples", "seed", "normal", "calculated"};
    static const std::vector<std::string> none;
    return trial == "vary" ? vary : trial == "reach" ? reach : trial == "sure" ? sure : none;
}

const std::vector<std::string>& markWords() {
    static const std::vector<std::string> words{"outline", "hatch", "line", "dimension", "support", "load", "force", "label"};
    return words;
}

bool isMarkWord(std::string_view word) {
    const auto& words = markWords();
    return std::find(words.begin(), words.end(), word) != words.end();
}

const std::vector<std::string>& rowWords(FileKind kind) {
    const auto collect = [](bool job) {
        std::vector<std::string> words;
        for (const KindInfo& k : kKinds) {
            if (job ? k.inJob : k.inSheet) words.emplace_back(k.word);
        }
        return words;
    };
    static const std::vector<std::string> sheet = collect(false);
    static const std::vector<std::string> job = collect(true);
    return kind == FileKind::Job ? job : sheet;
}

std::string_view kindName(RowKind kind) {
    switch (kind) {
    case RowKind::Blank: return "blank";
    case RowKind::Comment: return "comment";
    case RowKind::Unknown: return "unknown";
    case RowKind::TableLine: return "line";
    case RowKind::Mark: return "mark";
    default: return wordOf(kind);
    }
}

Block opens(RowKind kind) {
    switch (kind) {
    case RowKind::Beam: return Block::Beam;
    case RowKind::Table:
    case RowKind::List:
    case RowKind::Matrix: return Block::Table;
    case RowKind::Sketch: return Block::Sketch;
    default: return Block::None;
    }
}

Block opens(const Row& row) { return opens(row.kind); }

} // namespace spanwright::syntax

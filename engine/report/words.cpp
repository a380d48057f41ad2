// SPDX-License-Identifier: MIT
#include "engine/report/words.h"

#include <algorithm>
#include <utility>

#include "engine/base/text.h"
#include "engine/meaning/typeset.h"
#include "engine/syntax/formula.h"

namespace spanwright::report {

bool isOfName(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || static_cast<unsigned char>(c) >= 0x80;
}

const std::vector<std::string>& standingCautions() {
    static const std::vector<std::string> kList = {
        "This is not a permit, and it does not replace one.",
        "The local code, the local loads and a licensed engineer rule over everything here; have one review it before you build.",
        "Timber is taken as grade-stamped and dry; timber that was ripped or resawn has to be graded again.",
        "Each calculation covers one member, not the stability of the whole building: bracing, uplift, connections and foundations are calculated elsewhere.",
        "Glue, its bond line and a bond log are taken as stated; nobody has seen them.",
        "The service class is taken as stated: timber that gets wetter than that is weaker than calculated.",
        "Inputs are taken as stated; nobody has verified them on site.",
        "Void if a member is cut, notched, drilled or wetted in any way that the calculation does not show.",
        "The results hold only for the editions of the codes named on each page.",
    };
    return kList;
}

std::vector<std::string> cautionsOf(const JobFacts& f) {
    std::vector<std::string> out = standingCautions();
    for (const MemberFacts& m : f.members) {
        for (const std::string& c : m.cautions) {
            if (std::find(out.begin(), out.end(), c) == out.end()) out.push_back(c);
        }
    }
    return out;
}

std::vector<CautionGroup> cautionGroups(const JobFacts& f) {
    std::vector<CautionGroup> out;
    const std::vector<std::string> all = cautionsOf(f);
    for (std::size_t c = standingCautions().size(); c < all.size(); ++c) {
        std::vector<std::size_t> members;
        for (std::size_t i = 0; i < f.members.size(); ++i) {
            const std::vector<std::string>& own = f.members[i].cautions;
            if (std::find(own.begin(), own.end(), all[c]) != own.end()) members.push_back(i);
        }
        const auto same = std::find_if(out.begin(), out.end(), [&](const CautionGroup& g) { return g.members == members; });
        if (same == out.end())
            out.push_back({std::move(members), {all[c]}});
        else
            same->cautions.push_back(all[c]);
    }
    return out;
}

Stamp stampOf(job::Verdict v) {
    switch (v) {
    case job::Verdict::Ok: return Stamp::Ok;
    case job::Verdict::NotProven: return Stamp::NotProven;
    case job::Verdict::Fails: return Stamp::Fails;
    case job::Verdict::NotComputed: return Stamp::NotComputed;
    }
    return Stamp::NotComputed;
}

Stamp stampOf(job::CheckView::State s) {
    switch (s) {
    case job::CheckView::State::Passes: return Stamp::Ok;
    case job::CheckView::State::Fails: return Stamp::Fails;
    case job::CheckView::State::NotProven: return Stamp::NotProven;
    case job::CheckView::State::NotComputed: return Stamp::NotComputed;
    case job::CheckView::State::NotApplicable: return Stamp::NotApplicable;
    }
    return Stamp::NotComputed;
}

std::string_view stateWord(eval::State s) {
    switch (s) {
    case eval::State::Known: return "known";
    case eval::State::NotStated: return "not stated";
    case eval::State::Failed: return "not computed";
    case eval::State::Blocked: return "blocked";
    case eval::State::NotApplicable: return "not applicable";
    }
    return "blocked";
}

std::string_view kindWord(meaning::Kind k) {
    switch (k) {
    case meaning::Kind::Ask: return "ask";
    case meaning::Kind::Given: return "given";
    case meaning::Kind::Choose: return "choose";
    case meaning::Kind::Each: return "each";
    case meaning::Kind::List: return "list";
    case meaning::Kind::Derive: return "derive";
    case meaning::Kind::Check: return "check";
    case meaning::Kind::Require: return "require";
    case meaning::Kind::Beam: return "beam";
    case meaning::Kind::Condition: return "condition";
    case meaning::Kind::Switch: return "switch";
    case meaning::Kind::Plot: return "plot";
    case meaning::Kind::Piece: return "piece";
    case meaning::Kind::Schedule: return "schedule";
    case meaning::Kind::Sketch: return "sketch";
    }
    return "derive";
}

std::string_view tickWord(job::TickView::State s) {
    switch (s) {
    case job::TickView::State::Current: return "in order";
    case job::TickView::State::OutOfDate: return "out of date";
    case job::TickView::State::Unknown: return "unknown";
    }
    return "unknown";
}

std::string counted(std::size_t n, std::string_view one, std::string_view many) { return std::to_string(n) + " " + std::string(n == 1 ? one : many); }

std::string countText(double count) { return base::shortest(count); }

Inlines namesMarked(const std::string& message) {
    Inlines out;
    for (std::size_t at = 0; at < message.size();) {
        const std::size_t open = message.find('`', at);
        const std::size_t close = open == std::string::npos ? open : message.find('`', open + 1);
        if (close == std::string::npos) {
            out.push_back(plainText(message.substr(at)));
            break;
        }
        if (open > at) out.push_back(plainText(message.substr(at, open - at)));
        if (close > open + 1) out.push_back(codeText(message.substr(open + 1, close - open - 1)));
        at = close + 1;
    }
    return out;
}

Inlines symbolsMarked(const std::string& words) {
    Inlines out = namesMarked(words);
    for (Inline& i : out)
        if (i.kind == Inline::Kind::Code && syntax::isName(i.text)) i = nameText(i.text);
    return symbolsAmong(std::move(out));
}

bool isSymbol(std::string_view name) {
    const std::size_t line = name.find('_');
    // Something stands on both sides of its underscore; with two of them it may as well be a table's name.
    if (line == std::string_view::npos || line == 0 || line + 1 >= name.size() || name.find('_', line + 1) != std::string_view::npos) return false;
    const meaning::Box box = meaning::typesetName(syntax::canonicalName(name));
    return box.kind == meaning::Box::Kind::Sub && box.children.size() == 2 && base::utf8Count(meaning::plain(box.children[0])) == 1;
}

Inlines symbolsAmong(Inlines words, const std::function<bool(const std::string& canonical)>& own) {
    Inlines out;
    for (Inline& i : words) {
        if (i.kind != Inline::Kind::Text && i.kind != Inline::Kind::Faint) {
            out.push_back(std::move(i));
            continue;
        }
        const auto part = [&](std::size_t from, std::size_t to) {
            if (to > from) out.push_back(i.kind == Inline::Kind::Text ? plainText(i.text.substr(from, to - from)) : faintText(i.text.substr(from, to - from)));
        };
        std::size_t from = 0;
        for (std::size_t at = 0; at < i.text.size();) {
            const std::size_t end = nameEnd(i.text, at);
            const std::string_view name = std::string_view(i.text).substr(at, end - at);
            // A name without an underscore may be a word as well.
            if (name.find('_') != std::string_view::npos) {
                const std::string canonical = syntax::canonicalName(name);
                if (isSymbol(name) || (own && own(canonical))) {
                    part(from, at);
                    out.push_back(nameText(canonical));
                    from = end;
                }
            }
            at = std::max(end, at + 1);
        }
        part(from, i.text.size());
    }
    return out;
}

std::size_t nameEnd(std::string_view text, std::size_t at) {
    // Within a word no name begins.
    if (at > 0 && isOfName(text[at - 1])) return at;
    std::size_t end = at;
    while (end < text.size() && isOfName(text[end])) ++end;
    return syntax::isName(text.substr(at, end - at)) ? end : at;
}

Inlines callMarked(const std::string& call, bool named) {
    Inlines out;
    std::string words;
    const auto flush = [&] {
        if (!words.empty()) out.push_back(plainText(std::exchange(words, {})));
    };
    for (std::size_t at = 0; at < call.size();) {
        // The called one at the beginning, and what stands before each "=".
        const bool begins = at == 0 || call[at - 1] == '(' || (at > 1 && call[at - 1] == ' ' && call[at - 2] == ',');
        std::size_t end = at;
        while (end < call.size() && isOfName(call[end])) ++end;
        const bool leads = at == 0 && end < call.size() && call[end] == '(';
        if (begins && (leads || call.compare(end, 3, " = ") == 0) && syntax::isName(call.substr(at, end - at))) {
            if (!leads && !named) {
                at = end + 3;
                continue;
            }
            flush();
            out.push_back(nameText(call.substr(at, end - at)));
            at = end;
            continue;
        }
        words += call[at++];
    }
    flush();
    return symbolsAmong(std::move(out));
}

std::string pathOf(const JobFacts& f, std::string_view mark, std::string_view name) {
    return f.singleSheet ? std::string(name) : std::string(mark) + "." + std::string(name);
}

std::string editionsOf(const MemberFacts& m) {
    std::string out;
    for (const std::string& b : m.basis) out += (out.empty() ? "" : "; ") + b;
    return out.empty() ? "no basis stated" : out;
}

std::vector<std::string> editionsOf(const JobFacts& f) {
    std::vector<std::string> out;
    for (const MemberFacts& m : f.members) {
        for (const std::string& b : m.basis) {
            if (std::find(out.begin(), out.end(), b) == out.end()) out.push_back(b);
        }
    }
    return out;
}

} // namespace spanwright::report

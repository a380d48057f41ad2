// SPDX-License-Identifier: MIT
#include "engine/report/drawing.h"

#include <algorithm>
#include <utility>

#include "engine/base/text.h"
#include "engine/meaning/typeset.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

bool isLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80; }

} // namespace

std::vector<TextRun> runsOf(const std::string& text) {
    std::vector<TextRun> out;
    std::string words;
    const auto flush = [&] {
        if (!words.empty()) out.push_back({std::exchange(words, {}), false});
    };
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && isOfName(text[end])) ++end;
        const std::string name = text.substr(at, end - at);
        const std::size_t line = name.find('_');
        // Something stands on both sides of its underscore.
        if (isLetter(text[at]) && line != std::string::npos && line + 1 < name.size()) {
            const meaning::Box box = meaning::typesetName(name);
            // A symbol is one letter; "last_web" is a word that somebody writes on a part.
            if (box.kind == meaning::Box::Kind::Sub && box.children.size() == 2 && base::utf8Count(meaning::plain(box.children[0])) == 1) {
                words += meaning::plain(box.children[0]);
                flush();
                out.push_back({meaning::plain(box.children[1]), true});
                at = end;
                continue;
            }
        }
        end = std::max(end, at + 1);
        words += text.substr(at, end - at);
        at = end;
    }
    flush();
    return out;
}

} // namespace spanwright::report

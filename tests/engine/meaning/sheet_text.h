// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>
#include <string>

#include "engine/meaning/sheet.h"
#include "engine/meaning/typeset.h"

/// A sheet from a text, with files from a map.
struct SheetText {
    spanwright::meaning::TextPool texts;
    std::map<std::string, std::string> files;
    std::map<std::string, int> fetched;
    std::shared_ptr<const spanwright::syntax::Document> document;
    std::shared_ptr<const spanwright::meaning::Sheet> sheet;

    SheetText() = default;
    explicit SheetText(std::string text) { read(std::move(text)); }

    void read(std::string text) {
        using namespace spanwright;
        document = std::make_shared<syntax::Document>(syntax::Document::read("a.spansheet", syntax::FileKind::Sheet, std::move(text)));
        const meaning::Fetch fetch = [this](const std::string& path) -> base::Result<std::string, diag::Diagnostic> {
            ++fetched[path];
            const auto found = files.find(path);
            if (found != files.end()) return found->second;
            diag::Diagnostic d;
            d.code = diag::Code::FileNotFound;
            d.message = "there is no file `" + path + "`";
            return base::Failure<diag::Diagnostic>{std::move(d)};
        };
        sheet = meaning::analyse(document, fetch, texts);
    }

    [[nodiscard]] const spanwright::meaning::Quantity& at(const std::string& name) const {
        const auto* q = sheet->find(name);
        static const spanwright::meaning::Quantity none;
        return q == nullptr ? none : *q;
    }

    /// "M301 UnknownName `foo` is defined nowhere | did you mean `f`?" one a line; SheetEmpty only when asked for.
    [[nodiscard]] std::string told(bool withEmpty = false) const {
        std::string out;
        for (const auto& d : sheet->diagnostics) {
            if (d.code == spanwright::diag::Code::SheetEmpty && !withEmpty) continue;
            if (!out.empty()) out += '\n';
            out += std::string(spanwright::diag::codeText(d.code)) + " " + d.message;
            if (!d.mend.empty()) out += " | " + d.mend;
        }
        return out;
    }

    /// The bytes of the row that a diagnostic marks.
    [[nodiscard]] std::string marked(std::size_t index) const {
        const auto& d = sheet->diagnostics[index];
        if (d.place.file != document->file() || d.place.row >= document->rows().size()) return d.place.file;
        return std::string(d.place.span.of(document->rows()[d.place.row].text));
    }

    [[nodiscard]] std::string formula(const std::string& name) const {
        return spanwright::meaning::plain(spanwright::meaning::typeset(sheet->exprs, at(name).formula, spanwright::meaning::namingOf(*sheet)));
    }

    /// Names of what a row reads, in order.
    [[nodiscard]] std::string reads(const std::string& name) const {
        std::string out;
        for (const auto id : at(name).reads) {
            const auto& q = sheet->at(id);
            out += (out.empty() ? "" : " ") + (q.name.empty() ? "row" + std::to_string(q.row) : q.name);
        }
        return out;
    }
};

/// What a sheet made of one text says.
inline std::string said(std::string text, bool withEmpty = false) {
    const SheetText s(std::move(text));
    return s.told(withEmpty);
}

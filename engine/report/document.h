// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "engine/meaning/typeset.h"
#include "engine/report/drawing.h"

/// The one neutral document that every printed form is made of. It knows no HTML, no terminal and no
/// paper: writers (text, HTML, a PDF writer outside the engine) turn it into bytes. Texts in it are as
/// the files hold them; writers make them harmless for their own form.
namespace spanwright::report {

/// A boxed word. Verdict words are only those of the design; Off is "not applicable".
enum class Stamp : std::uint8_t { Ok, NotProven, Fails, NotComputed, NotApplicable };
[[nodiscard]] std::string_view stampText(Stamp s);

/// A stretch of a line.
struct Inline {
    enum class Kind : std::uint8_t {
        Text,
        Strong,
        Faint, ///< beside the point, but never left out
        Code,  ///< a name or a value as typed
        Math,  ///< `math`; with a `target` it leads there
        Boxed, ///< `stamp`
        Link,  ///< `text` leads to the id `target` of this document
    };
    Kind kind = Kind::Text;
    std::string text;
    meaning::Box math;
    Stamp stamp = Stamp::NotComputed;
    std::string target;
};
using Inlines = std::vector<Inline>;

[[nodiscard]] Inline plainText(std::string text);
[[nodiscard]] Inline strongText(std::string text);
[[nodiscard]] Inline faintText(std::string text);
[[nodiscard]] Inline codeText(std::string text);
[[nodiscard]] Inline mathText(meaning::Box box);
[[nodiscard]] Inline boxedWord(Stamp s);
[[nodiscard]] Inline linkTo(std::string target, std::string text);
/// A quantity's name as it is written in formulas, typeset.
[[nodiscard]] Inline nameText(std::string_view canonical);
/// The same, leading to an id of this document.
[[nodiscard]] Inline nameLink(std::string target, std::string_view canonical);
/// The words alone, for a writer that knows nothing better.
[[nodiscard]] std::string wordsOf(const Inlines& line);

struct Block;

struct Heading {
    int level = 2; ///< 2 a section's own, 3 and 4 below it
    Inlines text;
    std::string id; ///< unique in the document; empty: nothing leads here
};
struct Paragraph {
    Inlines text;
    enum class Role : std::uint8_t { Plain, Note, Remark } role = Role::Plain;
};
struct Bullets {
    struct Item {
        Inlines text;
        std::vector<Item> below;
    };
    std::vector<Item> items;
};
struct Table {
    enum class Align : std::uint8_t { Left, Right };
    struct Column {
        std::string head;
        Align align = Align::Left;
        bool wraps = false; ///< may be broken over lines when the paper is narrow
        bool named = false; ///< `head` is a quantity's name, perhaps with its unit in brackets behind it
    };
    std::string caption;
    std::vector<Column> columns;
    std::vector<std::vector<Inlines>> rows; ///< each as long as columns
    bool ruled = true;                      ///< false: a list of pairs, without head or lines
    bool boxed = false;                     ///< cells in boxes of the same width with room in them: to be filled in, or cut out
};
/// What stands over a column, its name typeset.
[[nodiscard]] Inlines headOf(const Table::Column& column);
/// A formula worked out step by step: left sides (most of them empty), relations and right sides stand
/// below one another.
struct Equation {
    struct Line {
        meaning::Box left;
        std::string relation; ///< "=", "≤"
        meaning::Box right;
    };
    std::vector<Line> lines;
};
/// One line of a calculation: reference | calculation | result.
struct CalcLine {
    std::string id;
    Inlines reference;
    std::vector<Block> calculation;
    std::vector<Inlines> result; ///< one below the other
};
/// Something set apart by a frame.
struct Framed {
    std::string title;
    std::vector<Block> blocks;
};
struct Figure {
    Drawing drawing;
    std::string caption;
};

struct Block {
    std::variant<Heading, Paragraph, Bullets, Table, Equation, CalcLine, Framed, Figure> is;
};

/// What begins on a new page and repeats its `running` words on each.
struct Section {
    std::string id;
    std::string mark;         ///< member's mark; empty for the general pages
    std::string title;        ///< shown as its heading and in the contents; empty: no heading
    std::string running;      ///< editions, repeated at the head of each page
    bool calculation = false; ///< set in the three columns reference | calculation | result
    bool onePage = false;     ///< in letters less large, as far as can be read, if it then needs one page only
    bool smallPrint = false;  ///< in a document in large print: much that is to be read once
    std::vector<Block> blocks;
};

struct Document {
    std::string title;
    std::string fingerprint; ///< repeated on each page
    std::string identity;    ///< job and revision, repeated on each page
    std::string author;      ///< as the job states it; empty where it does not
    std::string date;        ///< as the job states it: there is no other clock
    bool largePrint = false; ///< to be read from a step away, beside a machine
    std::vector<Section> sections;
};

/// Turns a document into the bytes of a page description such as PDF. The engine has none: a program
/// that can draw (the window) hands one to the command.
class PaperWriter {
public:
    enum class Size : std::uint8_t { A4, Letter };
    virtual ~PaperWriter() = default;
    /// The whole file's bytes; on failure an empty text and the reason in `problem`.
    [[nodiscard]] virtual std::string write(const Document& document, Size size, std::string& problem) const = 0;
};

} // namespace spanwright::report

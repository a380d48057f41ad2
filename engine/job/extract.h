// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/eval/value.h"
#include "engine/job/verdict.h"
#include "engine/meaning/sheet.h"

namespace spanwright::job {

/// A stated value by name: of a member, or of the job itself (empty mark).
struct ValueName {
    std::string mark, name;
    friend bool operator==(const ValueName&, const ValueName&) = default;
};

/// A row of an extract: of `Extract::members[member]`, or (kJob) the id-th of `Extract::givens`.
struct ExtractRef {
    static constexpr std::uint32_t kJob = 0xffffffffU;
    std::uint32_t member = kJob;
    meaning::QuantityId id;
    friend bool operator==(const ExtractRef&, const ExtractRef&) = default;
};

/// A row that must be worked out anew when what is varied changes.
struct ExtractRow {
    ExtractRef at;
    enum class How : std::uint8_t {
        Varied, ///< one of those that are varied
        Sheet,  ///< by its sheet's row
        Stated, ///< stated as `stated`; where it applies, and within which limits, may vary
        Link,   ///< stated by a link
        List,   ///< stated rows of a list with links among their cells
        Fixed,  ///< lies on a ring: never computed
    } how = How::Sheet;
    eval::Value stated;
    std::shared_ptr<const meaning::Link> link;
    struct Reference {
        bool varies = false;
        ExtractRef at;       ///< where it varies
        eval::Value fixed;   ///< where it does not
        eval::State cause{}; ///< fixed and Blocked: the state at the end of its chain
    };
    std::vector<Reference> references; ///< as many as link->references; of a list, those of its cells one after another
    struct Cell {
        std::uint32_t column = 0, row = 0; ///< in `stated.table`
        std::shared_ptr<const meaning::Link> link;
        std::size_t firstReference = 0;
    };
    std::vector<Cell> cells; ///< List
    /// Indices into Extract::rows of those among them that must be worked out first.
    std::vector<std::uint32_t> reads;
};

/// A member with rows among them.
struct ExtractMember {
    std::string mark;
    std::size_t index = 0; ///< in the job
    std::shared_ptr<const meaning::Sheet> sheet;
    std::shared_ptr<const eval::MemberValues> values; ///< as the job has them
    /// Its verdict by all that does not vary, as if all that varies were fine; with the reasons in words.
    Verdict floor = Verdict::Ok;
    std::vector<std::string> reasons;
    bool applies = false; ///< a check that does not vary applies
    /// Members of the extract that it takes values from, directly or through others: while a check of theirs does not pass, it is not
    /// proven. Those outside the extract are in `floor`.
    std::vector<std::uint32_t> sources;
    Verdict verdict = Verdict::Ok; ///< as the job stands
};

/// Part of a job, copied: trials work on it, on any thread, while the job goes on.
struct Extract {
    std::vector<ExtractMember> members;
    std::vector<meaning::Quantity> givens; ///< of the job, those that vary
    std::vector<ExtractRow> rows;          ///< in the order in which they are to be worked out
    std::vector<ExtractRef> varied;        ///< as asked for
    /// As the job states them now (NotStated, Failed ... where it does not); of a choice the row's index.
    std::vector<eval::Value> now;
    std::vector<std::string> nowShown;
    std::vector<bool> stated;                     ///< by the job, rather than a default of the sheet
    std::vector<bool> linked;                     ///< by a link to something else
    std::vector<std::optional<double>> tolerance; ///< half width, where one is stated
};

/// Members' values that were copied already; good until the job changes.
struct ExtractCache {
    std::map<std::string, std::shared_ptr<const eval::MemberValues>> values; ///< by mark
};

} // namespace spanwright::job

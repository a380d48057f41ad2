// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/eval/value.h"

namespace spanwright::eval {

/// Everything a number can be, ends included.
struct Band {
    double low = 0.0, high = 0.0;
};

/// Rows by interval arithmetic (boost::numeric::interval, rounded outwards; library functions widened by more than their
/// error): for any values within the bands of what varies the row lies within its band. The bands are often wider than
/// they need be, never narrower. There is none through beams and ranges that vary, look-ups by a key that varies other than
/// interpolation, and where a division by zero or an invalid operation may happen. One thread at a time.
class BandProgram {
public:
    explicit BandProgram(std::shared_ptr<const meaning::Sheet> sheet);
    ~BandProgram();
    BandProgram(const BandProgram&) = delete;
    BandProgram& operator=(const BandProgram&) = delete;
    [[nodiscard]] std::optional<std::vector<Band>> formula(const meaning::Quantity& row, meaning::ExprId root, const MemberValues& values,
                                                           const std::vector<const std::vector<Band>*>& rows);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// The same for a link.
[[nodiscard]] std::optional<Band> linkBand(const meaning::Link& link, const std::vector<const Value*>& fixed,
                                           const std::vector<const std::vector<Band>*>& references);

/// a/b rounded outwards; nothing where b may be zero.
[[nodiscard]] std::optional<Band> quotient(Band a, Band b);

} // namespace spanwright::eval

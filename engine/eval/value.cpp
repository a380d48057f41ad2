// SPDX-License-Identifier: MIT
#include "engine/eval/value.h"

#include <cstring>

namespace spanwright::eval {

namespace {

bool sameBits(const std::vector<double>& a, const std::vector<double>& b) {
    return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

bool sameProblem(const std::shared_ptr<const diag::Diagnostic>& a, const std::shared_ptr<const diag::Diagnostic>& b) {
    if (a == b) return true;
    if (!a || !b) return false;
    return a->code == b->code && a->place == b->place && a->message == b->message && a->notes == b->notes && a->mend == b->mend && a->member == b->member;
}

} // namespace

bool sameValue(const Value& a, const Value& b) {
    if (a.state != b.state || a.blockedBy != b.blockedBy) return false;
    if (std::memcmp(&a.one, &b.one, sizeof a.one) != 0) return false;
    return a.table == b.table && a.solved == b.solved && sameBits(a.many, b.many) && sameBits(a.right, b.right) && sameProblem(a.problem, b.problem);
}

} // namespace spanwright::eval

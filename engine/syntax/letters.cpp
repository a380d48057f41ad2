// SPDX-License-Identifier: MIT
#include "engine/syntax/letters.h"

#include <algorithm>
#include <array>

namespace spanwright::syntax {

namespace {

struct Spelling {
    std::uint32_t point;
    std::string_view text;
};

// Unicode 15, block "Greek and Coptic" with its variant forms; the micro, ohm and increment signs are
// what keyboards offer for mu, Omega and Delta.
constexpr Spelling kGreek[] = {
    {0x00B5, "mu"},      {0x0386, "Alpha"},   {0x0388, "Epsilon"}, {0x0389, "Eta"},   {0x038A, "Iota"},  {0x038C, "Omicron"}, {0x038E, "Upsilon"},
    {0x038F, "Omega"},   {0x0390, "iota"},    {0x0391, "Alpha"},   {0x0392, "Beta"},  {0x0393, "Gamma"}, {0x0394, "Delta"},   {0x0395, "Epsilon"},
    {0x0396, "Zeta"},    {0x0397, "Eta"},     {0x0398, "Theta"},   {0x0399, "Iota"},  {0x039A, "Kappa"}, {0x039B, "Lambda"},  {0x039C, "Mu"},
    {0x039D, "Nu"},      {0x039E, "Xi"},      {0x039F, "Omicron"}, {0x03A0, "Pi"},    {0x03A1, "Rho"},   {0x03A3, "Sigma"},   {0x03A4, "Tau"},
    {0x03A5, "Upsilon"}, {0x03A6, "Phi"},     {0x03A7, "Chi"},     {0x03A8, "Psi"},   {0x03A9, "Omega"}, {0x03AC, "alpha"},   {0x03AD, "epsilon"},
    {0x03AE, "eta"},     {0x03AF, "iota"},    {0x03B1, "alpha"},   {0x03B2, "beta"},  {0x03B3, "gamma"}, {0x03B4, "delta"},   {0x03B5, "epsilon"},
    {0x03B6, "zeta"},    {0x03B7, "eta"},     {0x03B8, "theta"},   {0x03B9, "iota"},  {0x03BA, "kappa"}, {0x03BB, "lambda"},  {0x03BC, "mu"},
    {0x03BD, "nu"},      {0x03BE, "xi"},      {0x03BF, "omicron"}, {0x03C0, "pi"},    {0x03C1, "rho"},   {0x03C2, "sigma"},   {0x03C3, "sigma"},
    {0x03C4, "tau"},     {0x03C5, "upsilon"}, {0x03C6, "phi"},     {0x03C7, "chi"},   {0x03C8, "psi"},   {0x03C9, "omega"},   {0x03CC, "omicron"},
    {0x03CD, "upsilon"}, {0x03CE, "omega"},   {0x03D0, "beta"},    {0x03D1, "theta"}, {0x03D5, "phi"},   {0x03D6, "pi"},      {0x03F0, "kappa"},
    {0x03F1, "rho"},     {0x03F4, "Theta"},   {0x03F5, "epsilon"}, {0x03F9, "Sigma"}, {0x2126, "Omega"}, {0x2206, "Delta"},
};
static_assert(std::is_sorted(std::begin(kGreek), std::end(kGreek), [](const Spelling& a, const Spelling& b) { return a.point < b.point; }));

} // namespace

Glyph wideGlyphAt(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
    const std::uint32_t first = byte(at);
    std::uint32_t length = 0;
    std::uint32_t point = 0;
    std::uint32_t least = 0;
    if (first >= 0xC2 && first <= 0xDF) {
        length = 2;
        point = first & 0x1FU;
        least = 0x80;
    } else if ((first & 0xF0U) == 0xE0) {
        length = 3;
        point = first & 0x0FU;
        least = 0x800;
    } else if (first >= 0xF0 && first <= 0xF4) {
        length = 4;
        point = first & 0x07U;
        least = 0x10000;
    } else {
        return {first, 1, false};
    }
    for (std::uint32_t i = 1; i < length; ++i) {
        const std::uint32_t next = byte(at + i);
        if ((next & 0xC0U) != 0x80) return {first, 1, false};
        point = (point << 6U) | (next & 0x3FU);
    }
    const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
    if (point < least || point > 0x10FFFF || surrogate) return {first, 1, false};
    return {point, length, true};
}

bool isWideLetter(std::uint32_t p) {
    if (p >= 0x00C0 && p <= 0x024F) return p != 0x00D7 && p != 0x00F7;
    return !greekSpelling(p).empty();
}

std::string_view greekSpelling(std::uint32_t point) {
    if (point < 0x00B5) return {};
    const auto* at = std::lower_bound(std::begin(kGreek), std::end(kGreek), point, [](const Spelling& s, std::uint32_t p) { return s.point < p; });
    return at != std::end(kGreek) && at->point == point ? at->text : std::string_view{};
}

} // namespace spanwright::syntax

// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

#include <string>

namespace spanwright::models {

/// Texts of sheets and messages hold names between backticks. As plain words, for where nothing can be typeset: a symbol as it is set in one line
/// ("`sigma_m`": σ_m); a word that would be read as one of the sentence ("`is`"), and anything else that was typed, between quotation marks.
[[nodiscard]] QString wordsOf(const std::string& text);

/// Whether it is set as a symbol: a name whose base is no word.
[[nodiscard]] bool isSymbol(const std::string& typed);

/// True for a name, also one of a member ("J1.q_k"): what can be typeset as a symbol.
[[nodiscard]] bool isNamed(const std::string& typed);

} // namespace spanwright::models

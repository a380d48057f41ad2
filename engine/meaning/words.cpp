// SPDX-License-Identifier: MIT
#include "engine/meaning/words.h"

namespace spanwright::meaning {

const char* wordOf(Builtin b) {
    switch (b) {
    case Builtin::Min: return "min";
    case Builtin::Max: return "max";
    case Builtin::Abs: return "abs";
    case Builtin::Sqrt: return "sqrt";
    case Builtin::Cbrt: return "cbrt";
    case Builtin::Exp: return "exp";
    case Builtin::Ln: return "ln";
    case Builtin::Log10: return "log10";
    case Builtin::Sin: return "sin";
    case Builtin::Cos: return "cos";
    case Builtin::Tan: return "tan";
    case Builtin::Asin: return "asin";
    case Builtin::Acos: return "acos";
    case Builtin::Atan: return "atan";
    case Builtin::Atan2: return "atan2";
    case Builtin::Floor: return "floor";
    case Builtin::Ceil: return "ceil";
    case Builtin::Round: return "round";
    case Builtin::RoundUp: return "round_up";
    }
    return "";
}

const char* wordOf(BeamOutput o) {
    switch (o) {
    case BeamOutput::M: return "M";
    case BeamOutput::MMost: return "M_most";
    case BeamOutput::MLeast: return "M_least";
    case BeamOutput::V: return "V";
    case BeamOutput::VMost: return "V_most";
    case BeamOutput::VLeast: return "V_least";
    case BeamOutput::VWeb: return "V_web";
    case BeamOutput::VWebMost: return "V_web_most";
    case BeamOutput::VWebLeast: return "V_web_least";
    case BeamOutput::W: return "w";
    case BeamOutput::WMost: return "w_most";
    case BeamOutput::WLeast: return "w_least";
    case BeamOutput::R: return "R";
    case BeamOutput::RMost: return "R_most";
    case BeamOutput::RLeast: return "R_least";
    case BeamOutput::Holding: return "M_R";
    case BeamOutput::HoldingMost: return "M_R_most";
    case BeamOutput::HoldingLeast: return "M_R_least";
    case BeamOutput::Residual: return "residual";
    }
    return "";
}

} // namespace spanwright::meaning

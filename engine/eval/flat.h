// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/beam/beam.h"
#include "engine/eval/formula.h"

namespace spanwright::eval {

/// A formula for many places of a range: the byte code of it and of the functions that it calls, written out in one
/// piece in which every different operation stands once. What a sheet says in readable steps (a depth at x, a
/// stiffness at that depth, a strain with that stiffness) reads the same things over and over; here each is worked
/// out once for a block of places. The operations are those of the byte code, so every place comes out bit for bit.
struct Flat {
    struct Node {
        enum class Kind : std::uint8_t {
            Leaf,     ///< leaves[index]
            Place,    ///< the range's variable
            Constant, ///< value
            One,      ///< `what` of a
            Two,      ///< `what` of a and b
            Call1,
            Call2,
            Choose,  ///< a: condition, b: if true, c: if false; a branch that no place takes is not worked out
            Along,   ///< beams[index] at a: least and most
            Pick,    ///< of a (an Along): as beams[index] wants it
            CallOut, ///< callOuts[index]
        };
        Kind kind{};
        Do what{};
        bool placed = false; ///< depends on the place
        std::uint32_t a = 0, b = 0, c = 0, index = 0;
        union {
            double value;
            double (*call1)(double);
            double (*call2)(double, double);
        };
        Node() : value(0.0) {}
    };
    struct CallOut {
        meaning::ExprId node;
        std::vector<std::uint32_t> arguments;
    };
    std::vector<Node> nodes; ///< each behind those that it reads
    std::vector<Leaf> leaves;
    std::vector<meaning::ExprId> beams; ///< values of beams along them
    std::vector<CallOut> callOuts;
    std::vector<std::uint32_t> breaking; ///< nodes that may have a kink or a jump along the range
    /// The formula is a moment or shear of a beam, at the place itself, with what does not depend on the place added,
    /// taken away, multiplied or divided: it turns only where the beam says so. The node, an Along; else kNone.
    std::uint32_t curve = kNone;
    bool curveSize = false;     ///< the size of such a formula
    bool curveGreatest = false; ///< the one of least and most that has the larger magnitude
    static constexpr std::uint32_t kNone = 0xffffffffU;
    /// The formula is a sum of deflections at the place itself, of beams along which no stiffness varies, each times what changes by steps
    /// only; and of what changes by steps only. Between its breaks it turns where its beams say so. Empty: it is no such sum.
    struct Sag {
        std::uint32_t along = 0; ///< a node
        bool least = false;      ///< else the most
        bool either = false;     ///< the one of larger magnitude: while there is no choice of spans both are the same
        std::uint32_t times = 0; ///< a node; of a single deflection kNone: it turns where it turns, however often it is taken
    };
    std::vector<Sag> sags;
    bool sagsByCase = false; ///< something in it changes by steps along the range
    std::uint32_t root = 0;
    bool usable = false; ///< else the formula holds what is not written out here (ranges inside ranges, very much of it)
};

/// Several formulas for the same places, written out in one piece: what they have in common stands there once.
struct FlatGroup {
    Flat flat;
    struct Body {
        std::uint32_t root = 0;
        std::vector<std::uint32_t> breaking; ///< as Flat::breaking, of this one
    };
    std::vector<Body> bodies;
};

} // namespace spanwright::eval

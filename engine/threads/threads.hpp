/// Work that is shared out among the cores of a machine.
///
/// What is made is the same on any number of cores: work is cut into pieces by the amount of it
/// alone, each piece writes to a place of its own, and pieces are put together in their order.
/// Starting a thread takes as long as planning a batch: small work is one piece, which starts none.
#pragma once

#include <cstddef>
#include <functional>

namespace budwood::threads {

/// How many pieces are worked on at once: as many as there are cores, up to four. More would wait
/// for memory.
std::size_t at_once();

/// Does the pieces 0 to `pieces` - 1, each once; who calls works too. Pieces are begun in their
/// order. When one throws, none is begun any more, and the exception of the first that threw comes
/// out when all that were begun have ended: the one that a loop would have met.
void each_piece(std::size_t pieces, const std::function<void(std::size_t piece)>& work,
                std::size_t threads = at_once());

/// The same where each worker has things of its own, such as what it has worked out before: workers
/// are numbered from 0, who calls, up to `threads`. What a piece comes to must not rest on them.
void each_piece(std::size_t pieces,
                const std::function<void(std::size_t piece, std::size_t worker)>& work,
                std::size_t threads = at_once());

/// The things 0 to `count` - 1 in pieces of `size`; the last may be smaller.
struct Pieces {
  std::size_t count = 0;
  std::size_t size = 1;

  std::size_t number() const { return (count + size - 1) / size; }
  std::size_t begin(std::size_t piece) const { return piece * size; }
  std::size_t end(std::size_t piece) const {
    return piece + 1 < number() ? (piece + 1) * size : count;
  }
};

}  // namespace budwood::threads

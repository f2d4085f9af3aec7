#pragma once

#include "core/butterfly/butterfly.h"
#include "core/doubt/doubt.h"
#include "core/station/roles.h"
#include "core/tag/tag_state.h"

/// One small file a rule; each says why it exists. They look at the state of one subject, so that a rule run on one
/// new line alone gives the same answer as run over everything.
namespace discal::doubt {

void codeUsedTwice(const tag::TagState& tag, Doubts& out);
void codeNotInStock(const tag::TagState& tag, Doubts& out);
void codeOfAnotherHolder(const tag::TagState& tag, Doubts& out);
void tagWithTwoFates(const tag::TagState& tag, Doubts& out);
void butterflySeenApart(const tag::TagState& tag, Doubts& out);
void sheetReceivedTwice(const tag::Sheet& sheet, Doubts& out);
void sheetTaken(const tag::Sheet& sheet, Doubts& out);
void sheetHandedByOther(const tag::Sheet& sheet, Doubts& out);
void storyContradicted(const butterfly::Butterfly& butterfly, Doubts& out);
void tagOutOfStep(const butterfly::Butterfly& butterfly, Doubts& out);
void correctionsAtOdds(const journal::Amended& line, Doubts& out);
void withoutAuthority(const journal::Amended& line, Doubts& out);
void roleWithoutAuthority(const station::Roles& roles, Doubts& out);

[[nodiscard]] Doubts about(const tag::TagState& tag);
[[nodiscard]] Doubts about(const tag::Sheet& sheet);
[[nodiscard]] Doubts about(const butterfly::Butterfly& butterfly);
[[nodiscard]] Doubts about(const journal::Amended& line);
[[nodiscard]] Doubts about(const station::Roles& roles);

} // namespace discal::doubt

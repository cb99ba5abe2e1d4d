package org.hosewright.companion

import org.hosewright.core.Obstacle
import org.hosewright.core.ObstacleShown
import org.hosewright.core.RefusedException
import org.hosewright.core.WayOnShown
import org.hosewright.core.obstacleShown

/** What blocks it, in the core's words. */
data class Trouble(
    /** What is the matter. */
    val words: String,
    /** What to do; empty if the words say it. */
    val todo: String = "",
    /** The ways on, the best first. */
    val waysOn: List<WayOnShown> = emptyList(),
    /** Which obstacle it is, if it is one of the phone. */
    val obstacle: Obstacle? = null,
    /** Tags on record that come near, to be chosen from. */
    val near: List<String> = emptyList(),
    /** A tag that no hose on record has, and with which one can be registered. */
    val unused: String? = null,
    /** The field of a form that is to be put right, by its name. */
    val field: String? = null,
    /** Whether the person is to be asked whether a chip may be overwritten. */
    val askOverwrite: Boolean = false,
    /** What the system said, for a person who repairs it. */
    val detail: String? = null,
) {
    companion object {
        /** An obstacle of the phone. */
        fun of(obstacle: Obstacle, detail: String? = null): Trouble =
            obstacleShown(obstacle).trouble(detail)
    }
}

private fun ObstacleShown.trouble(detail: String?) =
    Trouble(words, todo, waysOn, obstacle, detail = detail)

/** Every refusal of the core has its own case: a new one does not compile until it has words. */
internal fun troubleOf(failure: Throwable): Trouble =
    when (failure) {
        is RefusedException ->
            when (failure) {
                is RefusedException.Store -> Trouble.of(failure.obstacle, failure.detail)
                is RefusedException.UnknownHose ->
                    Trouble(failure.words, near = failure.near, unused = failure.tag)
                is RefusedException.NotATag -> Trouble(failure.words)
                is RefusedException.NotOneTag -> Trouble(failure.words)
                is RefusedException.HandOutStopped -> Trouble(failure.words)
                is RefusedException.NotAllowed -> Trouble(failure.words)
                is RefusedException.ChipHoldsAnother ->
                    Trouble(failure.words, askOverwrite = true)
                is RefusedException.Chip -> Trouble(failure.words)
                is RefusedException.File -> Trouble(failure.words)
                is RefusedException.Field -> Trouble(failure.words, field = failure.field)
                is RefusedException.Input -> Trouble(failure.words)
            }
        is ChipLostException -> Trouble.of(Obstacle.CHIP_LOST, failure.cause?.message)
        else -> Trouble.of(Obstacle.FAULT, failure.toString())
    }

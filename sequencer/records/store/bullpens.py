"""Bullpens and their throws."""

from sqlalchemy import delete, func, select

from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.migrations.schema import BULLPENS, THROWS
from sequencer.records.store.door import body_of, put
from sequencer.records.store.people import People


class Bullpens(People):
    """What was thrown in practice."""

    def bullpens(self, pitcher: str | None = None) -> list[Bullpen]:
        """Return the bullpens of a pitcher, or all, by date, with their throws."""
        with self._read() as connection:
            meant = self._meant(connection)
            rows = connection.execute(
                select(BULLPENS.c.id, BULLPENS.c.body).order_by(
                    BULLPENS.c.date, BULLPENS.c.bullpen, BULLPENS.c.id
                )
            ).all()
            heads = [(id_, Bullpen.model_validate_json(body)) for id_, body in rows]
            thrown = select(THROWS.c.bullpen_id, THROWS.c.body)
            if pitcher is not None:
                who = meant(pitcher)
                heads = [(id_, pen) for id_, pen in heads if meant(pen.pitcher) == who]
                thrown = thrown.where(THROWS.c.bullpen_id.in_([id_ for id_, _ in heads]))
            bodies = connection.execute(thrown.order_by(THROWS.c.bullpen_id, THROWS.c.n)).all()
        throws: dict[str, list[Throw]] = {}
        for id_, body in bodies:
            throws.setdefault(id_, []).append(Throw.model_validate_json(body))
        return [
            pen.model_copy(
                update={"pitcher": meant(pen.pitcher), "throws": tuple(throws.get(id_, ()))}
            )
            for id_, pen in heads
        ]

    def throws_kept(self) -> int:
        """Return how many throws the book holds: another number when a bullpen was added."""
        with self._read() as connection:
            return connection.execute(select(func.count()).select_from(THROWS)).scalar_one()

    def add_bullpen(self, bullpen: Bullpen) -> Bullpen:
        """Keep a bullpen; one of the same id is replaced."""
        with self._write() as connection:
            connection.execute(delete(THROWS).where(THROWS.c.bullpen_id == bullpen.id))
            connection.execute(delete(BULLPENS).where(BULLPENS.c.id == bullpen.id))
            head = {
                "id": bullpen.id,
                "bullpen": bullpen.bullpen,
                "date": bullpen.date,
                "pitcher": bullpen.pitcher,
                "body": body_of(bullpen, "throws"),
            }
            put(connection, BULLPENS, [head])
            throws = [
                {"bullpen_id": bullpen.id, "n": n, "body": body_of(throw)}
                for n, throw in enumerate(bullpen.throws, 1)
            ]
            if throws:
                put(connection, THROWS, throws)
        return bullpen

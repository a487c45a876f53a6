"""Tables for catalog editions

Revision ID: 0001
Revises:
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

ONE_VALUE = (
    "CASE WHEN text_value IS NULL THEN 0 ELSE 1 END"
    " + CASE WHEN number_value IS NULL THEN 0 ELSE 1 END"
    " + CASE WHEN whole_value IS NULL THEN 0 ELSE 1 END"
    " + CASE WHEN flag_value IS NULL THEN 0 ELSE 1 END = 1"
)


def upgrade() -> None:
    op.create_table(
        "editions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("publication", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_editions")),
        sa.UniqueConstraint("digest", name=op.f("uq_editions_digest")),
        sa.UniqueConstraint("number", name=op.f("uq_editions_number")),
        sa.UniqueConstraint("publication", name=op.f("uq_editions_publication")),
    )
    op.create_table(
        "factory_parts",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("part_type", sa.Text(), nullable=False),
        sa.Column("brand", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_factory_parts_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_factory_parts")),
    )
    op.create_table(
        "facts",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("minimum", sa.Double(), nullable=True),
        sa.Column("maximum", sa.Double(), nullable=True),
        sa.Column("question", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_facts_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_facts")),
    )
    op.create_table(
        "fitment",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("brand", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("fits", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_fitment_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_fitment")),
    )
    with op.batch_alter_table("fitment", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_fitment_edition_id_brand_number"),
            ["edition_id", "brand", "number"],
            unique=False,
        )

    op.create_table(
        "kits",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("brand", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=False),
        sa.Column("stock", sa.BigInteger(), nullable=True),
        sa.Column("lead_days", sa.BigInteger(), nullable=True),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_kits_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_kits")),
        sa.UniqueConstraint(
            "edition_id", "brand", "number", name=op.f("uq_kits_edition_id_brand_number")
        ),
    )
    op.create_table(
        "part_types",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("layer", sa.Text(), nullable=False),
        sa.Column("quantity", sa.JSON(), nullable=False),
        sa.Column("counted_in", sa.String(length=10), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_part_types_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_part_types")),
        sa.UniqueConstraint("edition_id", "name", name=op.f("uq_part_types_edition_id_name")),
    )
    op.create_table(
        "parts",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("brand", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("part_type", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=False),
        sa.Column("core_deposit", sa.BigInteger(), nullable=False),
        sa.Column("pack_quantity", sa.BigInteger(), nullable=False),
        sa.Column("stock", sa.BigInteger(), nullable=True),
        sa.Column("lead_days", sa.BigInteger(), nullable=True),
        sa.Column("condition", sa.String(length=20), nullable=False),
        sa.Column("emission_class", sa.String(length=20), nullable=False),
        sa.Column("life_km", sa.BigInteger(), nullable=True),
        sa.Column("status", sa.String(length=20), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_parts_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_parts")),
        sa.UniqueConstraint(
            "edition_id", "brand", "number", name=op.f("uq_parts_edition_id_brand_number")
        ),
    )
    with op.batch_alter_table("parts", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_parts_edition_id_number"), ["edition_id", "number"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_parts_edition_id_part_type"), ["edition_id", "part_type"], unique=False
        )

    op.create_table(
        "records",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_records_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "kind", "position", name=op.f("pk_records")),
    )
    with op.batch_alter_table("records", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_records_edition_id_kind_name"),
            ["edition_id", "kind", "name"],
            unique=False,
        )

    op.create_table(
        "supersessions",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("old_brand", sa.Text(), nullable=False),
        sa.Column("old_number", sa.Text(), nullable=False),
        sa.Column("new_brand", sa.Text(), nullable=False),
        sa.Column("new_number", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_supersessions_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_supersessions")),
    )
    with op.batch_alter_table("supersessions", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_supersessions_edition_id_old_number"),
            ["edition_id", "old_number"],
            unique=False,
        )

    op.create_table(
        "tools",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("purpose", sa.Text(), nullable=False),
        sa.Column("owned", sa.Boolean(), nullable=False),
        sa.Column("hire_price", sa.BigInteger(), nullable=True),
        sa.Column("hire_lead_days", sa.BigInteger(), nullable=True),
        sa.Column("buy_price", sa.BigInteger(), nullable=True),
        sa.Column("resale_price", sa.BigInteger(), nullable=True),
        sa.Column("buy_lead_days", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_tools_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_tools")),
        sa.UniqueConstraint("edition_id", "name", name=op.f("uq_tools_edition_id_name")),
    )
    op.create_table(
        "vehicles",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("model_year_from", sa.BigInteger(), nullable=False),
        sa.Column("model_year_to", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["editions.id"], name=op.f("fk_vehicles_edition_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_vehicles")),
        sa.UniqueConstraint("edition_id", "name", name=op.f("uq_vehicles_edition_id_name")),
    )
    op.create_table(
        "factory_conditions",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("factory_part_position", sa.Integer(), nullable=False),
        sa.Column("fact", sa.Text(), nullable=False),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_id", "factory_part_position"],
            ["factory_parts.edition_id", "factory_parts.position"],
            name=op.f("fk_factory_conditions_edition_id_factory_part_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_factory_conditions_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_factory_conditions")),
    )
    op.create_table(
        "fitment_conditions",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("fitment_position", sa.Integer(), nullable=False),
        sa.Column("fact", sa.Text(), nullable=False),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_id", "fitment_position"],
            ["fitment.edition_id", "fitment.position"],
            name=op.f("fk_fitment_conditions_edition_id_fitment_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_fitment_conditions_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_fitment_conditions")),
    )
    op.create_table(
        "kit_contents",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kit_position", sa.Integer(), nullable=False),
        sa.Column("brand", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id", "kit_position"],
            ["kits.edition_id", "kits.position"],
            name=op.f("fk_kit_contents_edition_id_kit_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_kit_contents_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_kit_contents")),
    )
    op.create_table(
        "part_properties",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("part_position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("text_value", sa.Text(), nullable=True),
        sa.Column("number_value", sa.Double(), nullable=True),
        sa.Column("whole_value", sa.BigInteger(), nullable=True),
        sa.Column("flag_value", sa.Boolean(), nullable=True),
        sa.CheckConstraint(
            ONE_VALUE,
            name=op.f("ck_part_properties_one_value"),
        ),
        sa.ForeignKeyConstraint(
            ["edition_id", "part_position"],
            ["parts.edition_id", "parts.position"],
            name=op.f("fk_part_properties_edition_id_part_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_part_properties_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_part_properties")),
    )
    op.create_table(
        "properties",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("part_type_position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("minimum", sa.Double(), nullable=True),
        sa.Column("maximum", sa.Double(), nullable=True),
        sa.Column("question", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_id", "part_type_position"],
            ["part_types.edition_id", "part_types.position"],
            name=op.f("fk_properties_edition_id_part_type_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_properties_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_properties")),
    )
    op.create_table(
        "vehicle_facts",
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("vehicle_position", sa.Integer(), nullable=False),
        sa.Column("fact", sa.Text(), nullable=False),
        sa.Column("text_value", sa.Text(), nullable=True),
        sa.Column("number_value", sa.Double(), nullable=True),
        sa.Column("whole_value", sa.BigInteger(), nullable=True),
        sa.Column("flag_value", sa.Boolean(), nullable=True),
        sa.CheckConstraint(
            ONE_VALUE,
            name=op.f("ck_vehicle_facts_one_value"),
        ),
        sa.ForeignKeyConstraint(
            ["edition_id", "vehicle_position"],
            ["vehicles.edition_id", "vehicles.position"],
            name=op.f("fk_vehicle_facts_edition_id_vehicle_position"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["editions.id"],
            name=op.f("fk_vehicle_facts_edition_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "position", name=op.f("pk_vehicle_facts")),
    )


def downgrade() -> None:
    op.drop_table("vehicle_facts")
    op.drop_table("properties")
    op.drop_table("part_properties")
    op.drop_table("kit_contents")
    op.drop_table("fitment_conditions")
    op.drop_table("factory_conditions")
    op.drop_table("vehicles")
    op.drop_table("tools")
    with op.batch_alter_table("supersessions", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_supersessions_edition_id_old_number"))

    op.drop_table("supersessions")
    with op.batch_alter_table("records", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_records_edition_id_kind_name"))

    op.drop_table("records")
    with op.batch_alter_table("parts", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_parts_edition_id_part_type"))
        batch_op.drop_index(batch_op.f("ix_parts_edition_id_number"))

    op.drop_table("parts")
    op.drop_table("part_types")
    op.drop_table("kits")
    with op.batch_alter_table("fitment", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_fitment_edition_id_brand_number"))

    op.drop_table("fitment")
    op.drop_table("facts")
    op.drop_table("factory_parts")
    op.drop_table("editions")

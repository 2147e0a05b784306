import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("designs", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="layer",
            name="pieces",
            field=models.PositiveSmallIntegerField(
                default=1,
                validators=[
                    django.core.validators.MinValueValidator(1),
                    django.core.validators.MaxValueValidator(50),
                ],
                verbose_name="wafer pieces a cookie",
            ),
        ),
        migrations.AddField(
            model_name="layer",
            name="piece_width_mm",
            field=models.PositiveSmallIntegerField(
                blank=True,
                null=True,
                validators=[
                    django.core.validators.MinValueValidator(3),
                    django.core.validators.MaxValueValidator(300),
                ],
            ),
        ),
        migrations.AddField(
            model_name="layer",
            name="piece_height_mm",
            field=models.PositiveSmallIntegerField(
                blank=True,
                null=True,
                validators=[
                    django.core.validators.MinValueValidator(3),
                    django.core.validators.MaxValueValidator(300),
                ],
            ),
        ),
    ]
